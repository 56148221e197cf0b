import type { Rigid } from '../geometry/rigid.ts'
import type { PoseName } from './terms.ts'

/**
 * One pose of the operated leg, before and after the cuts. Degrees and mm; leans top lateral positive; tilts medial
 * side and posterior side down positive. Values before the cuts are null where LDFA or MPTA is withheld.
 */
export interface Standing {
  readonly pose: PoseName
  readonly hipHalfSpacingMm: number
  readonly ankleHalfSpacingMm: number
  readonly spacingSource: 'assumed' | 'entered' | 'measured'
  /** Assumed height of the ankle centre above the floor. */
  readonly ankleHeightMm: number
  readonly flexionDeg: number
  readonly footRotationDeg: number
  /** Coronal limb deviation, varus positive, that the pose was solved with. */
  readonly limbVarusBeforeDeg: number | null
  readonly limbVarusDeg: number
  /** Lean of the hip–ankle line after the cuts. */
  readonly legLeanDeg: number
  readonly femurLeanDeg: number
  readonly tibiaLeanDeg: number
  readonly tibiaLeanBeforeDeg: number | null
  readonly tibiaForwardLeanDeg: number
  readonly jointLineToFloorBeforeDeg: number | null
  readonly trayToFloorCoronalDeg: number
  readonly trayToFloorSagittalDeg: number
  readonly trayToFloorDeg: number
  /** Tilt of the hips' line, operated side up positive; 0 on one leg, where the pelvis is held level. */
  readonly pelvisTiltDeg: number
  /** Knee centre from the hip–ankle line in the frontal plane, lateral positive. */
  readonly kneeOffsetMm: number
  /** Where the posed bones stand after the cuts: from each bone's patient frame to the stance frame (Y up, floor y = 0). */
  readonly stanceFromFemur: Rigid
  readonly stanceFromTibia: Rigid
}
