/**
 * Vocabulary of signed-distance shapes: negative inside, positive outside, mm. Blends have finite support
 * (outside a band of width k they are exact min and max) and are twice continuously differentiable,
 * so a head stays an exact sphere away from its neck and extrema can be refined by Newton steps.
 */
import { cross, dot, sub, unit, type Vec3 } from '../src/geometry/vec.ts'

export type Sdf = (x: number, y: number, z: number) => number

/** Cubic smooth minimum: union of two solids with a fillet about k/6 high at the seam; k > 0. */
export function smoothMin(a: number, b: number, k: number): number {
  const d = a > b ? a - b : b - a
  const least = Math.min(a, b)
  if (d >= k) return least
  const h = 1 - d / k
  return least - (h * h * h * k) / 6
}

/** Cubic smooth maximum: intersection with a rounded edge; k > 0. */
export const smoothMax = (a: number, b: number, k: number): number => -smoothMin(-a, -b, k)

/** Quintic step from 0 at `from` to 1 at `to` (first and second derivatives vanish at both ends). */
export function smoothStep(t: number, from: number, to: number): number {
  const u = (t - from) / (to - from)
  if (u <= 0) return 0
  if (u >= 1) return 1
  return u * u * u * (10 + u * (6 * u - 15))
}

/** Sphere of radius r about c; exact distance. */
export const sphere =
  (c: Vec3, r: number): Sdf =>
  (x, y, z) => {
    const u = x - c[0]
    const v = y - c[1]
    const w = z - c[2]
    return Math.sqrt(u * u + v * v + w * w) - r
  }

/** Three perpendicular unit axes. */
export interface Axes {
  readonly e1: Vec3
  readonly e2: Vec3
  readonly e3: Vec3
}

/** Axes with e1 exactly along `first` and e2 as near `second` as that allows. */
export function axesFrom(first: Vec3, second: Vec3): Axes {
  const e1 = unit(first)
  const e3 = unit(cross(e1, second))
  return { e1, e2: cross(e3, e1), e3 }
}

/** Ellipsoid with half-axes r along the given axes; first-order distance (exact on the surface). */
export const ellipsoid =
  (c: Vec3, axes: Axes, r: Vec3): Sdf =>
  (x, y, z) => {
    const u = x - c[0]
    const v = y - c[1]
    const w = z - c[2]
    const a = (u * axes.e1[0] + v * axes.e1[1] + w * axes.e1[2]) / r[0]
    const b = (u * axes.e2[0] + v * axes.e2[1] + w * axes.e2[2]) / r[1]
    const d = (u * axes.e3[0] + v * axes.e3[1] + w * axes.e3[2]) / r[2]
    const k0 = Math.sqrt(a * a + b * b + d * d)
    const k1 = Math.sqrt((a * a) / (r[0] * r[0]) + (b * b) / (r[1] * r[1]) + (d * d) / (r[2] * r[2]))
    return k1 > 1e-9 ? (k0 * (k0 - 1)) / k1 : -Math.min(r[0], r[1], r[2])
  }

/** Cone with round ends: ball of radius ra at a, swept and growing or shrinking to radius rb at b. */
export function roundCone(a: Vec3, ra: number, b: Vec3, rb: number): Sdf {
  const d = sub(b, a)
  const l2 = dot(d, d)
  return (x, y, z) => {
    const u = x - a[0]
    const v = y - a[1]
    const w = z - a[2]
    let t = (u * d[0] + v * d[1] + w * d[2]) / l2
    t = smoothStepLinear(t)
    const p = u - t * d[0]
    const q = v - t * d[1]
    const s = w - t * d[2]
    return Math.sqrt(p * p + q * q + s * s) - (ra + t * (rb - ra))
  }
}

/** Round cones from ball to ball along a row of places, smoothly joined. */
export function chain(places: readonly { readonly at: Vec3; readonly size: number }[]): Sdf {
  const links = places.slice(1).map((b, i) => roundCone(places[i]!.at, places[i]!.size, b.at, b.size))
  return (x, y, z) => {
    let f = links[0]!(x, y, z)
    for (let i = 1; i < links.length; i++) f = smoothMin(f, links[i]!(x, y, z), 3)
    return f
  }
}

/** Clamp to 0…1 with rounded corners, so that the cone meets its caps without a crease. */
const smoothStepLinear = (t: number): number => smoothMax(0, smoothMin(t, 1, 0.3), 0.3)

/** The gradient of f at a point by central differences with step h. */
export function gradient(f: Sdf, x: number, y: number, z: number, h: number): Vec3 {
  return [
    (f(x + h, y, z) - f(x - h, y, z)) / (2 * h),
    (f(x, y + h, z) - f(x, y - h, z)) / (2 * h),
    (f(x, y, z + h) - f(x, y, z - h)) / (2 * h),
  ]
}
