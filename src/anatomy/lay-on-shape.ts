import { fail, ok, type Result } from '../failure.ts'
import type { FittedShape } from '../geometry/fit-shape.ts'
import { addScaled, distance, dot, sub, type Vec3 } from '../geometry/vec.ts'
import type { BoneName, LandmarkId, LandmarkOverrides, Landmarks, References } from './terms.ts'

/** A line between two landmarks that a number refers to; `as` is the choice of definition that makes it count, where there is one. */
export interface ReferenceLine {
  readonly bone: BoneName
  readonly ends: readonly [LandmarkId, LandmarkId]
  readonly as: Partial<References>
}

/** Reference lines that a fitted axis or plane may take the place of. */
export const referenceLines = {
  epicondyles: {
    bone: 'femur',
    ends: ['epicondyleMedial', 'epicondyleLateral'],
    as: { femoralMedioLateral: 'epicondylar' },
  },
  'posterior-condyles': {
    bone: 'femur',
    ends: ['condylePosteriorMedial', 'condylePosteriorLateral'],
    as: { femoralMedioLateral: 'posterior-condylar' },
  },
  'distal-condyles': { bone: 'femur', ends: ['condyleDistalMedial', 'condyleDistalLateral'], as: {} },
  'tibial-anterior': {
    bone: 'tibia',
    ends: ['posteriorNotch', 'tubercleMedialThird'],
    as: { tibialAnterior: 'pcl-tubercle' },
  },
  plateaus: { bone: 'tibia', ends: ['plateauMedial', 'plateauLateral'], as: {} },
} as const satisfies Readonly<Record<string, ReferenceLine>>
export type ReferenceLineName = keyof typeof referenceLines

/**
 * Both landmarks of a reference line dropped on a fitted plane or axis (patient frame of the bone, mm), as overrides set by
 * hand: the line then lies in that plane, or on that axis. A sphere names neither, an axis square to the line drops both
 * ends on one place, and a landmark may be missing: `fit/degenerate`, `landmark/missing`.
 */
export function layOnShape(
  landmarks: Landmarks,
  { ends }: ReferenceLine,
  shape: Pick<FittedShape, 'kind' | 'point' | 'direction'>,
): Result<LandmarkOverrides> {
  const { point, direction, kind } = shape
  if (direction === null) return fail('fit/degenerate', 'A sphere names no axis and no plane.')
  const drop = (p: Vec3): Vec3 => {
    const along = dot(sub(p, point), direction)
    return kind === 'plane' ? addScaled(p, direction, -along) : addScaled(point, direction, along)
  }
  const [a, b] = [landmarks[ends[0]], landmarks[ends[1]]]
  if (!a || !b) return fail('landmark/missing', 'One end of that reference line is missing on this bone.')
  const [from, to] = [drop(a.mm), drop(b.mm)]
  if (distance(from, to) < distance(a.mm, b.mm) / 2)
    return fail('fit/degenerate', 'That axis runs across the reference line it should stand for.', {
      hint: 'Fit it anew, or use it for another reference.',
    })
  return ok({ [ends[0]]: { mm: from, source: 'set' }, [ends[1]]: { mm: to, source: 'set' } })
}
