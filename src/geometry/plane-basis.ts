import { anyPerpendicular, cross, type Vec3 } from './vec.ts'

/**
 * Two unit vectors u, v in the plane with u × v = the unit normal: counter-clockwise in (u, v) is counter-clockwise
 * seen from it.
 */
export function planeBasis(normal: Vec3): readonly [Vec3, Vec3] {
  const u = anyPerpendicular(normal)
  return [u, cross(normal, u)]
}
