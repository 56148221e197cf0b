import { fail } from '../failure.ts'
import { dot, scale, type Vec3 } from '../geometry/vec.ts'

/** The direction or its opposite, whichever lies within 45° of `towards`; null when neither does. Unit vectors. */
export function facing(direction: Vec3, towards: Vec3): Vec3 | null {
  const along = dot(direction, towards)
  if (!(Math.abs(along) >= Math.SQRT1_2)) return null
  return along < 0 ? scale(direction, -1) : direction
}

/** The refusal of a fitted shape that points elsewhere than the cut it should drive. */
export const tooSteep = (cut: string) =>
  fail('case/out-of-range', `That plane or axis stands more than 45° off the ${cut} cut.`, {
    hint: 'Fit it anew, or drive another cut with it.',
    place: cut,
  })
