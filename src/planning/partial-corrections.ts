import { ok, type Result } from '../failure.ts'
import type { MeasuredPartial } from '../implants/measured.ts'
import { gapChange } from './gaps.ts'
import { partialGaps } from './partial-consequences.ts'
import { layPartialCuts, type PartialCuts } from './partial-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { Correction } from './planned.ts'

/**
 * What the joint line limits change of the kinematic cuts of a medial partial: femur first, then tibia, each step laid on the
 * bones with its cost at the three sites and in the gaps. A partial follows the limb, so the limb limit corrects nothing. None for
 * other recipes, nor for an angle that was entered.
 */
export function partialCorrections(
  input: PlanInput,
  component: MeasuredPartial,
  restricted: PartialCuts,
): Result<readonly Correction[]> {
  const { choices } = input
  if (choices.recipe !== 'restricted') return ok([])
  const laidAt = (cuts: typeof choices.cuts) =>
    layPartialCuts({ ...input, choices: { ...choices, recipe: 'kinematic', cuts } }, component)
  const plain = laidAt(choices.cuts)
  if (!plain.ok) return plain
  const corrections: Correction[] = []
  let { cuts } = choices
  let before = plain.value
  for (const bone of ['femur', 'tibia'] as const) {
    const key = bone === 'femur' ? 'valgusDeg' : 'varusDeg'
    const deg = before[key] - restricted[key]
    if (Math.abs(deg) < 1e-9) continue
    cuts = { ...cuts, [bone]: { ...cuts[bone], [key]: restricted[key] } }
    const after = laidAt(cuts)
    if (!after.ok) return after
    corrections.push({
      limit: bone === 'femur' ? 'ldfa' : 'mpta',
      bone,
      deg,
      siteDeltaMm: Object.fromEntries(
        after.value.sites.map((site, i) => [site.id, site.totalMm - before.sites[i]!.totalMm]),
      ),
      gapDeltaMm: gapChange(partialGaps(before.sites), partialGaps(after.value.sites)),
    })
    before = after.value
  }
  return ok(corrections)
}
