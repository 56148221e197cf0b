import type { FemurAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import { sub, type Vec3 } from '../geometry/vec.ts'
import type { MeasuredFemoral } from '../implants/measured.ts'
import { siteStock } from './bookkeeping.ts'
import { condyleSupport } from './condyles.ts'
import { externalRotationOf, femoralAngles, femoralDistalNormal, femoralPosteriorNormal } from './cut-normals.ts'
import type { FemoralGoal } from './goals.ts'
import { legAxes } from './leg-axes.ts'
import { bookPair, planeAtDistance, planeThroughZero, type SitePair, solveTilt } from './pair.ts'
import type { Site } from './planned.ts'
import type { PlanChoices } from './terms.ts'

/** The distal and posterior cuts of one femur, in its patient frame, with their angles and sites. */
export interface FemoralCuts {
  readonly distal: Plane
  readonly posterior: Plane
  readonly valgusDeg: number
  readonly flexionDeg: number
  readonly externalRotationDeg: number
  /** Distal medial and lateral, posterior medial and lateral. */
  readonly sites: readonly Site[]
}

/** The two site pairs of a femur under a component, and the direction of its posterior condylar line. */
export interface FemoralSitePairs {
  readonly distal: SitePair
  readonly posterior: SitePair
  readonly condylarLine: Vec3
}

/** Needs both posterior condyle points (`landmark/missing` otherwise). */
export function femoralSitePairs(
  femur: FemurAnatomy,
  bone: BoneMesh,
  choices: PlanChoices,
  component: MeasuredFemoral,
): Result<FemoralSitePairs> {
  const { condylePosteriorMedial, condylePosteriorLateral } = femur.landmarks
  if (!(condylePosteriorMedial && condylePosteriorLateral))
    return fail('landmark/missing', 'The femoral cuts need both posterior condyle points.', {
      place: 'landmarks.condylePosteriorMedial',
    })
  const pointAt = condyleSupport(femur, bone, legAxes(femur.frame, femur.side))
  const anchor = femur.frame.origin
  return ok({
    condylarLine: sub(condylePosteriorLateral.mm, condylePosteriorMedial.mm),
    distal: {
      pointAt,
      anchor,
      stock: {
        medial: siteStock('femur-distal-medial', choices, component.distalMedial.thicknessMm),
        lateral: siteStock('femur-distal-lateral', choices, component.distalLateral.thicknessMm),
      },
    },
    posterior: {
      pointAt,
      anchor,
      stock: {
        medial: siteStock('femur-posterior-medial', choices, component.posteriorMedial.thicknessMm),
        lateral: siteStock('femur-posterior-lateral', choices, component.posteriorLateral.thicknessMm),
      },
    },
  })
}

/** Lays the distal cut, then the posterior one square to it. A femur without bone at a site: `cut/misses-bone`. */
export function layFemoralCuts(femur: FemurAnatomy, pairs: FemoralSitePairs, goal: FemoralGoal): Result<FemoralCuts> {
  const axes = legAxes(femur.frame, femur.side)
  const valgus = femoralValgus(femur, pairs, goal)
  if (!valgus.ok) return valgus
  const distalNormal = femoralDistalNormal(axes, valgus.value, goal.flexionDeg)
  const distal =
    goal.distalMm === null
      ? planeThroughZero(pairs.distal, distalNormal, goal.level)
      : planeAtDistance(pairs.distal, distalNormal, 'medial', goal.distalMm)

  const posteriorNormalAt = (deg: number) => femoralPosteriorNormal(axes, pairs.condylarLine, distalNormal, deg)
  const rotation =
    goal.rotationDeg === 'sites'
      ? solveTilt(pairs.posterior, posteriorNormalAt, 'femoral rotation')
      : ok(goal.rotationDeg)
  if (!rotation.ok) return rotation
  const posteriorNormal = posteriorNormalAt(rotation.value)
  const posterior =
    goal.posteriorMm === null
      ? planeThroughZero(pairs.posterior, posteriorNormal, goal.level)
      : planeAtDistance(pairs.posterior, posteriorNormal, 'medial', goal.posteriorMm)
  if (distal === null || posterior === null)
    return fail('cut/misses-bone', 'A condyle has no surface where the femoral cuts look for it.', {
      hint: 'Check the femoral landmarks.',
    })
  return ok({
    distal,
    posterior,
    ...femoralAngles(axes, distal.normal),
    externalRotationDeg: externalRotationOf(axes, pairs.condylarLine, posterior.normal),
    sites: [...bookPair(pairs.distal, distal), ...bookPair(pairs.posterior, posterior)],
  })
}

/** The valgus of the distal cut the goal asks for, degrees. */
export function femoralValgus(femur: FemurAnatomy, pairs: FemoralSitePairs, goal: FemoralGoal): Result<number> {
  if (goal.valgusDeg !== 'sites') return ok(goal.valgusDeg)
  const axes = legAxes(femur.frame, femur.side)
  return solveTilt(pairs.distal, (deg) => femoralDistalNormal(axes, deg, goal.flexionDeg), 'femoral valgus')
}
