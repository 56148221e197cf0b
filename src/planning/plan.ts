import type { FemurAnatomy, KneeAngles, TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { planPartial } from './plan-partial.ts'
import { planTotal } from './plan-total.ts'
import type { Plan, PlannedCut } from './planned.ts'
import { departs, type PlanChoices } from './terms.ts'

/** What planning reads: anatomy and bones in the patient frame of each file, and the choices of the case. */
export interface PlanInput {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly femurBone: BoneMesh
  readonly tibiaBone: BoneMesh
  readonly angles: KneeAngles
  readonly choices: PlanChoices
}

/**
 * Where the cuts go and what they cost. Points and normals come back in the patient frame of each bone. A choice that cannot be
 * planned (impossible size, contradicting limits, a cut that misses, a piece thinner than nothing) is a Failure with
 * the reason.
 */
export function planCuts(input: PlanInput): Result<Plan> {
  const { femur, tibia, choices } = input
  if (femur.side !== tibia.side)
    return fail('anatomy/side-contradiction', `The femur is a ${femur.side} one, the tibia a ${tibia.side} one.`, {
      hint: 'Declare the side, or load the matching bone.',
    })
  const wrong = outOfRange(choices)
  if (wrong) return wrong
  const plan = choices.procedure === 'total' ? planTotal(input) : planPartial(input)
  if (!plan.ok) return plan
  const missing = plan.value.cuts.find((cut) => mustTake(cut) && takesNothing(cut))
  if (missing)
    return fail('cut/misses-bone', `The ${missing.id} cut takes no bone.`, {
      hint: 'It misses the bone, or the cuts before it have taken all that it should. Cut elsewhere.',
      place: missing.id,
    })
  const thin = plan.value.sites.find((site) => site.pieceMm < 0)
  if (thin)
    return fail('cut/negative-piece', `The cut leaves no piece at ${thin.id}: ${thin.pieceMm.toFixed(1)} mm.`, {
      hint: 'The plane lies outside the bone there, or takes less than the saw kerf. Cut deeper, or change the angle.',
      place: thin.id,
    })
  return plan
}

/** Cuts with a place to measure, and any that was moved away from its component; a small flange may pass the bone by. */
const mustTake = ({ id, departure }: PlannedCut): boolean =>
  id === 'tibia' || id === 'femur-distal' || id === 'femur-posterior' || (departure !== null && departs(departure))

const takesNothing = ({ removedMm3, sectionMm2 }: PlannedCut): boolean =>
  removedMm3 === null ? sectionMm2 !== null && sectionMm2 < 1e-6 : removedMm3 <= 1e-9

function outOfRange({ wear, cartilage, saw, cuts, limits }: PlanChoices): ReturnType<typeof fail> | null {
  const lengths = [
    ['wear.medialMm', wear.medialMm, 20],
    ['wear.lateralMm', wear.lateralMm, 20],
    ['wear.posteriorMedialMm', wear.posteriorMedialMm ?? 0, 20],
    ['wear.posteriorLateralMm', wear.posteriorLateralMm ?? 0, 20],
    ['cartilage.femurMm', cartilage.femurMm, 10],
    ['cartilage.tibiaMm', cartilage.tibiaMm, 10],
    ['saw.kerfMm', saw.kerfMm, 5],
  ] as const
  for (const [place, value, most] of lengths)
    if (!(value >= 0 && value <= most))
      return fail('case/out-of-range', `${place} is ${value}; it must be 0 to ${most} mm.`, { place })
  const angles = [
    ['cuts.tibia.varusDeg', cuts.tibia.varusDeg],
    ['cuts.tibia.slopeDeg', cuts.tibia.slopeDeg],
    ['cuts.femur.valgusDeg', cuts.femur.valgusDeg],
    ['cuts.femur.flexionDeg', cuts.femur.flexionDeg],
    ['cuts.femur.rotationDeg', cuts.femur.rotationDeg],
  ] as const
  for (const [place, value] of angles)
    if (value !== null && !(Math.abs(value) <= 30))
      return fail('case/out-of-range', `${place} is ${value}; it must be −30 to 30 degrees.`, { place })
  if (!(limits.jointLineLowDeg < limits.jointLineHighDeg))
    return fail('plan/infeasible', 'The lower joint line limit must lie below the upper one.', {
      place: 'limits.jointLineLowDeg',
    })
  for (const [id, { deeperMm, flexionDeg, medialDeg }] of Object.entries(cuts.departures)) {
    const place = `cuts.departures.${id}`
    if (!(Math.abs(deeperMm) <= 20 && Math.abs(flexionDeg) <= 20 && Math.abs(medialDeg) <= 20))
      return fail('case/out-of-range', `${place} must stay within 20 mm and 20 degrees of the component.`, { place })
  }
  return null
}
