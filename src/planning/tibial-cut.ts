import type { TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import type { MeasuredTibial } from '../implants/measured.ts'
import { siteStock } from './bookkeeping.ts'
import { tibialAngles, tibialNormal } from './cut-normals.ts'
import type { TibialGoal } from './goals.ts'
import { legAxes } from './leg-axes.ts'
import { bookPair, planeAtDistance, planeThroughZero, type SitePair, solveTilt } from './pair.ts'
import type { Site } from './planned.ts'
import type { PlanChoices } from './terms.ts'

/** The tibial cut in the tibia's patient frame, with its angles and its two sites. */
export interface TibialCut {
  readonly plane: Plane
  readonly varusDeg: number
  readonly slopeDeg: number
  readonly sites: readonly Site[]
}

export function tibialSitePair(tibia: TibiaAnatomy, choices: PlanChoices, component: MeasuredTibial): SitePair {
  return {
    pointAt: (compartment) => tibia[compartment].point,
    anchor: tibia.frame.origin,
    stock: {
      medial: siteStock('tibia-medial', choices, component.medial.thicknessMm),
      lateral: siteStock('tibia-lateral', choices, component.lateral.thicknessMm),
    },
  }
}

export function layTibialCut(tibia: TibiaAnatomy, pair: SitePair, goal: TibialGoal): Result<TibialCut> {
  const axes = legAxes(tibia.frame, tibia.side)
  const varus = tibialVarus(tibia, pair, goal)
  if (!varus.ok) return varus
  const normal = tibialNormal(axes, varus.value, goal.slopeDeg)
  const plane =
    goal.depthMm === null
      ? planeThroughZero(pair, normal, goal.level)
      : planeAtDistance(pair, normal, goal.depthFrom, goal.depthMm)
  if (plane === null) return fail('landmark/missing', 'The tibial cut needs both plateau points.')
  return ok({ plane, ...tibialAngles(axes, plane.normal), sites: bookPair(pair, plane) })
}

/** The varus of the cut the goal asks for, degrees. */
export function tibialVarus(tibia: TibiaAnatomy, pair: SitePair, goal: TibialGoal): Result<number> {
  if (goal.varusDeg !== 'sites') return ok(goal.varusDeg)
  const axes = legAxes(tibia.frame, tibia.side)
  return solveTilt(pair, (deg) => tibialNormal(axes, deg, goal.slopeDeg), 'tibial varus')
}

/** Slope of the medial plateau to the tibial mechanical axis in the tibia's sagittal plane, posterior-down positive, degrees. */
export function nativeMedialSlopeDeg(tibia: TibiaAnatomy): number {
  const axes = legAxes(tibia.frame, tibia.side)
  const n = tibia.medial.normal
  return tibialAngles(axes, [-n[0], -n[1], -n[2]]).slopeDeg
}
