import { compose, type Rigid, rotationAbout } from '../geometry/rigid.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Standing } from './standing.ts'

/** Height of the leg's axis above the floor while it lies, mm; drawing only. */
const lyingHeightMm = 90

/**
 * The leg on its way from lying on its back (0) to standing (1): turned about the left–right axis through the ankle,
 * feet first on the floor. Maps from each bone's patient frame to the stance frame; 1 gives the standing ones exactly.
 */
export function rising(
  standing: Pick<Standing, 'stanceFromFemur' | 'stanceFromTibia' | 'ankleHeightMm'>,
  share: number,
): { readonly stanceFromFemur: Rigid; readonly stanceFromTibia: Rigid } {
  const { stanceFromFemur, stanceFromTibia, ankleHeightMm } = standing
  if (share >= 1) return { stanceFromFemur, stanceFromTibia }
  const left = 1 - Math.max(0, share)
  const pivot: Vec3 = [0, ankleHeightMm, 0]
  const height = left * (lyingHeightMm - ankleHeightMm)
  const turn: Rigid = { rotation: rotationAbout([0, 0, 1], (left * Math.PI) / 2), translation: [0, 0, 0] }
  const moved = compose(
    { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [pivot[0], pivot[1] + height, pivot[2]] },
    compose(turn, { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [-pivot[0], -pivot[1], -pivot[2]] }),
  )
  return { stanceFromFemur: compose(moved, stanceFromFemur), stanceFromTibia: compose(moved, stanceFromTibia) }
}
