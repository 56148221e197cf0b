import { ok, type Result } from '../failure.ts'
import { gapChange, geometricGaps } from './gaps.ts'
import { type Components, type LaidCuts, layCuts } from './lay.ts'
import type { PlanInput } from './plan.ts'
import type { Correction, RestrictedAnswer, Restriction, Site } from './planned.ts'
import type { RecipeGoals } from './recipe.ts'
import type { CoronalCuts, Restricted } from './restrict.ts'

/**
 * What the limits of the restricted recipe change, step by step and with its cost, by both answers. Each step is laid on the
 * bones: site by site how many mm the joint line moves (more taken positive) and how the geometric gaps change. Null when
 * the recipe restricts nothing.
 */
export function restrictionOf(input: PlanInput, components: Components, laid: LaidCuts): Result<Restriction | null> {
  const { restriction } = laid.goals
  if (restriction === null) return ok(null)
  const { kinematic, ruleOfThumb, smallest, pivot } = restriction
  const thumb = answerOf(input, components, kinematic, ruleOfThumb)
  if (!thumb.ok) return thumb
  const least = answerOf(input, components, kinematic, smallest)
  if (!least.ok) return least
  return ok({
    kinematic: { ...kinematic, hkaDeg: 180 + kinematic.mptaDeg - kinematic.ldfaDeg },
    ruleOfThumb: thumb.value,
    smallest: least.value,
    pivot,
  })
}

function answerOf(
  input: PlanInput,
  components: Components,
  from: CoronalCuts,
  answer: Restricted,
): Result<RestrictedAnswer> {
  const corrections: Correction[] = []
  let { ldfaDeg, mptaDeg } = from
  let before = answer.steps.length > 0 ? sitesAt(input, components, from) : ok<readonly Site[]>([])
  for (const step of answer.steps) {
    if (step.bone === 'femur') ldfaDeg += step.deg
    else mptaDeg += step.deg
    const after = sitesAt(input, components, { ldfaDeg, mptaDeg })
    if (!before.ok) return before
    if (!after.ok) return after
    corrections.push({
      limit: step.limit,
      bone: step.bone,
      deg: step.deg,
      siteDeltaMm: siteDelta(before.value, after.value),
      gapDeltaMm: gapChange(geometricGaps(before.value), geometricGaps(after.value)),
    })
    before = after
  }
  return ok({
    ldfaDeg: answer.ldfaDeg,
    mptaDeg: answer.mptaDeg,
    hkaDeg: 180 + answer.mptaDeg - answer.ldfaDeg,
    normDeg: Math.hypot(answer.ldfaDeg - from.ldfaDeg, answer.mptaDeg - from.mptaDeg),
    corrections,
  })
}

function sitesAt(input: PlanInput, components: Components, cuts: CoronalCuts): Result<readonly Site[]> {
  const at = (goals: RecipeGoals): RecipeGoals => ({
    ...goals,
    femur: { ...goals.femur, valgusDeg: 90 - cuts.ldfaDeg },
    tibia: { ...goals.tibia, varusDeg: 90 - cuts.mptaDeg },
  })
  const laid = layCuts(input, components, at)
  return laid.ok ? ok([...laid.value.tibial.sites, ...laid.value.femoral.sites]) : laid
}

const siteDelta = (before: readonly Site[], after: readonly Site[]): Record<string, number> =>
  Object.fromEntries(after.map((site, i) => [site.id, site.totalMm - before[i]!.totalMm]))
