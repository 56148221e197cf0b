import { ok, type Result } from '../failure.ts'
import type { MeasuredFemoral, MeasuredTibial } from '../implants/measured.ts'
import { type FemoralCuts, femoralSitePairs, layFemoralCuts } from './femoral-cuts.ts'
import type { PlanInput } from './plan.ts'
import { type RecipeGoals, recipeGoals } from './recipe.ts'
import { layTibialCut, type TibialCut, tibialSitePair } from './tibial-cut.ts'

export interface Components {
  readonly femoral: MeasuredFemoral
  readonly tibial: MeasuredTibial
}

/** The cuts of both bones by the recipe, with their sites; no volumes yet. */
export interface LaidCuts {
  readonly goals: RecipeGoals
  readonly femoral: FemoralCuts
  readonly tibial: TibialCut
}

/** Lays the recipe's cuts for these components; other goals than the recipe's may be given. */
export function layCuts(
  input: PlanInput,
  components: Components,
  goalsOf: (goals: RecipeGoals) => RecipeGoals = (goals) => goals,
): Result<LaidCuts> {
  const { femur, tibia, femurBone, choices } = input
  const femoralPairs = femoralSitePairs(femur, femurBone, choices, components.femoral)
  if (!femoralPairs.ok) return femoralPairs
  const tibialPair = tibialSitePair(tibia, choices, components.tibial)
  const recipe = recipeGoals({ femur, tibia, femoralPairs: femoralPairs.value, tibialPair, choices })
  if (!recipe.ok) return recipe
  const goals = goalsOf(recipe.value)
  const femoral = layFemoralCuts(femur, femoralPairs.value, goals.femur)
  if (!femoral.ok) return femoral
  const tibial = layTibialCut(tibia, tibialPair, goals.tibia)
  if (!tibial.ok) return tibial
  return ok({ goals, femoral: femoral.value, tibial: tibial.value })
}
