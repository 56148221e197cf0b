import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { ramp } from './ramp.ts'
import { standingCap } from './standing-cap.ts'

/** One epicondyle as its cap shows it, limb coordinates, mm. */
export interface Epicondyle {
  readonly point: Vec3
  /** Curvature of the dome by the size of its cap, 1/mm. */
  readonly sharpnessPerMm: number
  /** It lies where the joint's margin runs: an osteophyte may stand out further than the epicondyle. */
  readonly atMargin: boolean
}

export interface Epicondyles {
  readonly medial: Epicondyle
  readonly lateral: Epicondyle
}

/** Depth of the cap, mm. */
const capMm = 3
/** Below this curvature a millimetre of height is spread over more than a thumb's breadth, 1/mm (common practice, no source). */
export const flatDomePerMm = 1 / 50
/** The joint's margin, in L above the notch: below the first nothing counts, from the second on everything. */
const marginShares = [0.03, 0.06] as const
/** A cap whose middle lies below this share of L is one of the margin. */
const marginShare = 0.04

/**
 * The epicondyles of a distal femur from the height of the notch up to `topMm` (limb coordinates, mm): the middle of the cap of 3 mm that
 * stands out most along Z. Towards the joint's margin, where the side of the condyle runs on and osteophytes grow, places count
 * less (`lengthMm` is L). Null when nothing lies there.
 */
export function findEpicondyles(part: Mesh, notchMm: number, topMm: number, lengthMm: number): Epicondyles | null {
  const medial = epicondyle(part, -1, notchMm, topMm, lengthMm)
  const lateral = epicondyle(part, 1, notchMm, topMm, lengthMm)
  return medial && lateral && { medial, lateral }
}

function epicondyle(part: Mesh, side: 1 | -1, notchMm: number, topMm: number, lengthMm: number): Epicondyle | null {
  const [from, whole] = marginShares.map((share) => notchMm + share * lengthMm) as [number, number]
  const cap = standingCap(part, {
    out: 2,
    sense: side,
    heights: [from, topMm],
    counts: (y) => ramp(y, from, whole),
    capMm,
  })
  return (
    cap && {
      point: cap.point,
      // A paraboloid of this curvature has a cap of this area.
      sharpnessPerMm: (2 * Math.PI * capMm) / cap.areaMm2,
      atMargin: cap.point[1] < notchMm + marginShare * lengthMm,
    }
  )
}
