import type { FemurAnatomy, Side, TibiaAnatomy } from '../anatomy/terms.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { compose, intoFrame, mapPoint, type Rigid } from '../geometry/rigid.ts'
import { kneeOffset, withOffset } from './knee-offset.ts'
import { standLeg } from './stand-leg.ts'
import type { Standing } from './standing.ts'

/** The other leg's own bones, as a stance draws them: anatomy and meshes in the patient frames of their files. */
export interface OtherLegBones {
  readonly side: Side
  /** SHA-256 of its femur and tibia, as the measured leg in the case has them. */
  readonly files: readonly string[]
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly varusDeg: number
  /** As the files lie; null where they share no believable pose. */
  readonly externalRotationDeg: number | null
  readonly femurMesh: Mesh
  readonly tibiaMesh: Mesh
}

/** Where the other leg's bones stand: from each bone's patient frame to the stance frame (Y up, floor y = 0). */
export interface OtherLegStanding {
  readonly stanceFromFemur: Rigid
  readonly stanceFromTibia: Rigid
}

/**
 * Stands the other leg uncut beside the operated one, by the same rules and with the same spacings, flexion, foot rotation
 * and ankle height, with its own lengths and limb deviation. null where it has no hip or ankle or cannot reach.
 */
export function standOtherLeg(
  { side, femur, tibia, varusDeg, externalRotationDeg }: Omit<OtherLegBones, 'femurMesh' | 'tibiaMesh'>,
  beside: Pick<
    Standing,
    'hipHalfSpacingMm' | 'ankleHalfSpacingMm' | 'ankleHeightMm' | 'flexionDeg' | 'footRotationDeg'
  >,
): OtherLegStanding | null {
  const hip = femur.landmarks.hipCentre?.mm
  const ankle = tibia.landmarks.ankleCentre?.mm
  if (!hip || !ankle) return null
  const leg = standLeg(
    {
      side,
      hipInFemur: mapPoint(intoFrame(femur.frame), hip),
      ankleInTibia: mapPoint(intoFrame(tibia.frame), ankle),
      varusDeg,
      flexionDeg: beside.flexionDeg,
      externalRotationDeg: externalRotationDeg ?? 0,
    },
    beside,
  )
  if (!leg.ok) return null
  const placed = withOffset(leg.value, kneeOffset(femur, tibia, externalRotationDeg !== null, side), side)
  return {
    stanceFromFemur: compose(placed.stanceFromFemurFrame, intoFrame(femur.frame)),
    stanceFromTibia: compose(placed.stanceFromTibiaFrame, intoFrame(tibia.frame)),
  }
}
