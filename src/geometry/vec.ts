/** Vectors of three numbers. Units and frame are the caller's and stand in the caller's names. */
export type Vec3 = readonly [number, number, number]

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
export const scale = (a: Vec3, k: number): Vec3 => [a[0] * k, a[1] * k, a[2] * k]
/** a + k·b */
export const addScaled = (a: Vec3, b: Vec3, k: number): Vec3 => [a[0] + k * b[0], a[1] + k * b[1], a[2] + k * b[2]]
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
]
export const length = (a: Vec3): number => Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])
export const distance = (a: Vec3, b: Vec3): number => length(sub(a, b))
export const midpoint = (a: Vec3, b: Vec3): Vec3 => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2]
export const lerp = (a: Vec3, b: Vec3, t: number): Vec3 => addScaled(a, sub(b, a), t)

/** Unit vector along a; the zero vector stays zero (callers that need a direction check `length` first). */
export function unit(a: Vec3): Vec3 {
  const l = length(a)
  return l > 0 ? scale(a, 1 / l) : [0, 0, 0]
}

/** The part of a perpendicular to the unit vector n. */
export const reject = (a: Vec3, n: Vec3): Vec3 => addScaled(a, n, -dot(a, n))

/** Angle between two vectors in radians, 0…π, accurate near 0 and π (atan2, never acos). */
export const angleBetween = (a: Vec3, b: Vec3): number => Math.atan2(length(cross(a, b)), dot(a, b))

export const toDeg = (radians: number): number => (radians * 180) / Math.PI
export const toRad = (degrees: number): number => (degrees * Math.PI) / 180

/** Any unit vector perpendicular to the unit vector n. */
export function anyPerpendicular(n: Vec3): Vec3 {
  const a: Vec3 = Math.abs(n[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0]
  return unit(cross(n, a))
}
