import { type Side, sideFactor } from '../anatomy/terms.ts'
import type { Frame } from '../geometry/rigid.ts'
import { add, dot, scale, sub, type Vec3 } from '../geometry/vec.ts'

/** Unit axes of a bone frame with the side taken out, in the bone's patient frame: left and right read the same. */
export interface LegAxes {
  readonly origin: Vec3
  readonly anterior: Vec3
  readonly proximal: Vec3
  readonly lateral: Vec3
}

export const legAxes = (frame: Frame, side: Side): LegAxes => ({
  origin: frame.origin,
  anterior: frame.x,
  proximal: frame.y,
  lateral: scale(frame.z, sideFactor(side)),
})

/** A direction given by its anterior, proximal and lateral parts, in the patient frame. */
export const directionOf = (axes: LegAxes, anterior: number, proximal: number, lateral: number): Vec3 =>
  add(add(scale(axes.anterior, anterior), scale(axes.proximal, proximal)), scale(axes.lateral, lateral))

/** Anterior, proximal and lateral parts of a direction. */
export const partsOf = (axes: LegAxes, v: Vec3): Vec3 => [
  dot(axes.anterior, v),
  dot(axes.proximal, v),
  dot(axes.lateral, v),
]

/** Anterior, proximal and lateral coordinates of a point about the frame's origin. */
export const coordinatesOf = (axes: LegAxes, p: Vec3): Vec3 => partsOf(axes, sub(p, axes.origin))
