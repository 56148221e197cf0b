import type { Vec3 } from '../../geometry/vec.ts'
import { cross, dot, length, sub, unit } from '../../geometry/vec.ts'

/** A pointer as a line into the scene. */
export interface PointerRay {
  readonly origin: Vec3
  /** Unit. */
  readonly direction: Vec3
}

/**
 * How far along a line (unit `along` through `point`) the pointer is, mm: the place on the line nearest to the ray.
 * null when one looks straight along the line.
 */
export function along(ray: PointerRay, point: Vec3, direction: Vec3): number | null {
  const across = cross(direction, ray.direction)
  const size = dot(across, across)
  if (size < 1e-3) return null
  return dot(cross(sub(ray.origin, point), ray.direction), across) / size
}

/** Turn about an axis that follows the pointer: the handle at `radius` along `arm`, free to move along `towards`. Degrees. */
export function turn(ray: PointerRay, centre: Vec3, arm: Vec3, towards: Vec3, radius: number): number | null {
  const handle: Vec3 = [centre[0] + radius * arm[0], centre[1] + radius * arm[1], centre[2] + radius * arm[2]]
  const moved = along(ray, handle, towards)
  return moved === null ? null : (Math.atan2(moved, radius) * 180) / Math.PI
}

/** The part of `v` in the plane with this unit normal, made unit; null when v is along the normal. */
export function inPlane(v: Vec3, normal: Vec3): Vec3 | null {
  const part = sub(v, [normal[0] * dot(v, normal), normal[1] * dot(v, normal), normal[2] * dot(v, normal)])
  return length(part) < 1e-6 ? null : unit(part)
}
