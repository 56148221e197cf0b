import { toDeg, type Vec3 } from '../geometry/vec.ts'

/** Tilt of a surface to the floor, degrees: medial side down and posterior side down positive; total never negative. */
export interface Tilt {
  readonly coronalDeg: number
  readonly sagittalDeg: number
  readonly totalDeg: number
}

/**
 * Tilt to the floor of a surface from its own unit medial axis, posterior axis and proximal normal, given in the
 * stance frame (Y up): coronal asin(−m·up), sagittal asin(−p·up), total the angle of n to up.
 */
export function tiltToFloor(medial: Vec3, posterior: Vec3, normal: Vec3): Tilt {
  return {
    coronalDeg: lineToFloorDeg(medial),
    sagittalDeg: lineToFloorDeg(posterior),
    totalDeg: toDeg(Math.atan2(Math.hypot(normal[0], normal[2]), normal[1])),
  }
}

/** How far the unit direction points below the horizontal, degrees; stance frame. */
export const lineToFloorDeg = (direction: Vec3): number =>
  toDeg(Math.atan2(-direction[1], Math.hypot(direction[0], direction[2])))
