import { InvalidArgumentError } from 'commander'
import { planInput } from '../assess.ts'
import { type Bones, findAnatomy } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { parseCase } from '../casefile/schema.ts'
import { ok, type Result } from '../failure.ts'
import { length, scale, type Vec3 } from '../geometry/vec.ts'
import { type DrivenCut, drivenCuts, overridesFromAxis, overridesFromPlane } from '../planning/drive.ts'

/** Cuts laid by shapes that the user fitted elsewhere. */
export interface DriveOptions {
  /** As `driveTexts` checked them. */
  readonly drive?: readonly string[]
}

interface Drive {
  readonly cut: DrivenCut
  readonly numbers: readonly number[]
}

/** Gathers `--drive` options; what is no cut, shape or list of numbers is wrong usage. */
export function driveTexts(text: string, before: readonly string[]): readonly string[] {
  parsed(text)
  return [...before, text]
}

function parsed(text: string): Drive {
  const match = /^([a-z-]+)=(plane|axis):(.+)$/.exec(text)
  const [, cut = '', shape, list = ''] = match ?? []
  const numbers = list.split(',').map((part) => (part.trim() === '' ? Number.NaN : Number(part)))
  const wanted = shape === 'plane' ? 6 : 3
  if (!(drivenCuts as readonly string[]).includes(cut) || numbers.length !== wanted || !numbers.every(Number.isFinite))
    throw new InvalidArgumentError(
      `Write ${drivenCuts.join(', ')}, then =plane: and six numbers or =axis: and three, for example tibia=axis:0,1,0.`,
    )
  const direction = numbers.slice(-3)
  if (!(Math.hypot(...direction) > 1e-9)) throw new InvalidArgumentError('The direction has no length.')
  return { cut: cut as DrivenCut, numbers }
}

/** The case with those cuts entered, one after the other. A shape too far off its cut is a failure. */
export function withDrivenCuts(
  document: CaseDocument,
  bones: Bones,
  { drive = [] }: DriveOptions,
): Result<CaseDocument> {
  let driven = document
  for (const { cut, numbers } of drive.map(parsed)) {
    const anatomy = findAnatomy(driven, bones)
    if (!anatomy.ok) return anatomy
    const input = planInput(driven, bones, anatomy.value)
    const [a, b, c] = numbers.slice(-3) as [number, number, number]
    const direction: Vec3 = [a, b, c]
    const normal = scale(direction, 1 / length(direction))
    const [x, y, z] = numbers as [number, number, number]
    const cuts =
      numbers.length === 6
        ? overridesFromPlane(input, cut, { point: [x, y, z], normal })
        : overridesFromAxis(input, cut, normal)
    if (!cuts.ok) return cuts
    const within = parseCase({ ...driven, cuts: cuts.value })
    if (!within.ok) return within
    driven = within.value
  }
  return ok(driven)
}
