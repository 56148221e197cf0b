import type { OtherLeg } from './other-leg.ts'

export const poseNames = ['feet-together', 'natural', 'one-leg', 'own'] as const
export type PoseName = (typeof poseNames)[number]

/** Choices of the case that the stance reads. */
export interface StanceChoices {
  /** The pose shown; every pose is always computed. */
  readonly pose: PoseName
  /** null: the pose's own assumed value. A number applies to the pose `own` and to the shown pose. */
  readonly hipHalfSpacingMm: number | null
  readonly ankleHalfSpacingMm: number | null
  readonly flexionDeg: number
  readonly footRotationDeg: number
  /** Joint line convergence entered from a standing film; null: as measured, or 0 where withheld. */
  readonly jlcaDeg: number | null
  /** The other leg from its own files; null: the mirror image of this one before the cuts. */
  readonly other: OtherLeg | null
}
