import type { FemurAnatomy, KneeAngles, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Plan } from './planned.ts'
import type { PlanChoices } from './terms.ts'

/** What planning reads: anatomy and bones in the patient frame of each file, and the choices of the case. */
export interface PlanInput {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly femurBone: BoneMesh
  readonly tibiaBone: BoneMesh
  readonly angles: KneeAngles
  readonly choices: PlanChoices
}

/** Where the cuts go and what they cost. */
export function planCuts(input: PlanInput): Result<Plan> {
  return fail('plan/infeasible', `The ${input.choices.recipe} recipe is not planned yet.`)
}
