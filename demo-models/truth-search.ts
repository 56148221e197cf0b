/** Searches on a signed-distance function in a frame's own coordinates: rays, critical points, contours. */
import type { Frame } from '../src/geometry/rigid.ts'
import type { Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'

/** Upper bound of |∇f| of the bones' functions near their surface (their tests measure it). */
export const lipschitz = 1.8

/** f seen from a frame: g(x, y, z) = f at that frame's own coordinates. */
export function inFrame(f: Sdf, { origin: o, x: a, y: b, z: c }: Frame): Sdf {
  return (x, y, z) =>
    f(
      o[0] + x * a[0] + y * b[0] + z * c[0],
      o[1] + x * a[1] + y * b[1] + z * c[1],
      o[2] + x * a[2] + y * b[2] + z * c[2],
    )
}

/** Distance along a unit ray from outside to the first zero of f, or null within `reach`; exact to 1e-9 mm. */
export function castRay(f: Sdf, from: Vec3, along: Vec3, reach: number): number | null {
  let t = 0
  let safe = 0
  while (t < reach) {
    const v = f(from[0] + t * along[0], from[1] + t * along[1], from[2] + t * along[2])
    if (v <= 0) return bisect((s) => f(from[0] + s * along[0], from[1] + s * along[1], from[2] + s * along[2]), safe, t)
    safe = t
    t += Math.max(v / lipschitz, 0.01)
  }
  return null
}

/** Root of a function that changes sign between a and b (Illinois variant of false position), to 1e-10. */
export function bisect(g: (t: number) => number, a: number, b: number): number {
  let fa = g(a)
  let fb = g(b)
  let side = 0
  for (let i = 0; i < 80 && Math.abs(b - a) > 1e-10; i++) {
    const t = fb === fa ? (a + b) / 2 : (fa * b - fb * a) / (fa - fb)
    const v = g(t)
    if (v === 0) return t
    if (v > 0 === fa > 0) {
      a = t
      fa = v
      if (side === -1) fb /= 2
      side = -1
    } else {
      b = t
      fb = v
      if (side === 1) fa /= 2
      side = 1
    }
    if (Math.abs(v) < 1e-11) return t
  }
  return (a + b) / 2
}

export type AxisName = 'x' | 'y' | 'z'

/**
 * The critical point (extremum or saddle) of the surface's height along one axis nearest to a start point,
 * by Newton steps on the height as a function of the two other coordinates. Throws when it does not converge.
 */
export function criticalPoint(f: Sdf, axis: AxisName, start: Vec3): Vec3 {
  const k = axis === 'x' ? 0 : axis === 'y' ? 1 : 2
  const i = (k + 1) % 3
  const j = (k + 2) % 3
  const p: [number, number, number] = [start[0], start[1], start[2]]
  p[k] = onLine(f, p, k)
  const d = 0.05
  const height = (da: number, db: number): number => {
    const q: [number, number, number] = [p[0], p[1], p[2]]
    q[i] = q[i]! + da
    q[j] = q[j]! + db
    return onLine(f, q, k)
  }
  for (let step = 0; step < 60; step++) {
    const h0 = p[k]!
    const [ha, hA, hb, hB] = [height(-d, 0), height(d, 0), height(0, -d), height(0, d)]
    const ga = (hA - ha) / (2 * d)
    const gb = (hB - hb) / (2 * d)
    const aa = (hA - 2 * h0 + ha) / (d * d)
    const bb = (hB - 2 * h0 + hb) / (d * d)
    const ab = (height(d, d) - height(d, -d) - height(-d, d) + height(-d, -d)) / (4 * d * d)
    const det = aa * bb - ab * ab
    let da = -(bb * ga - ab * gb) / det
    let db = -(aa * gb - ab * ga) / det
    const l = Math.hypot(da, db)
    if (l > 0.5) {
      da *= 0.5 / l
      db *= 0.5 / l
    }
    p[i] = p[i]! + da
    p[j] = p[j]! + db
    p[k] = onLine(f, p, k)
    if (l < 1e-7) return p
  }
  throw new Error(`no critical point along ${axis} near ${start.map((v) => v.toFixed(1))}`)
}

/** The coordinate k at which f vanishes on the axis-parallel line through p, by Newton steps from p. */
export function onLine(f: Sdf, p: Vec3, k: number): number {
  const q: [number, number, number] = [p[0], p[1], p[2]]
  for (let step = 0; step < 40; step++) {
    const v = f(q[0], q[1], q[2])
    if (Math.abs(v) < 1e-11) return q[k]!
    const at = q[k]!
    q[k] = at + 1e-5
    const slope = (f(q[0], q[1], q[2]) - v) / 1e-5
    q[k] = at - Math.max(-2, Math.min(2, v / slope))
  }
  return q[k]!
}

/** The most distal, proximal … point of the visible surface on a grid of rays along +axis or −axis. */
export function farthestOnGrid(
  f: Sdf,
  axis: AxisName,
  /** +1: the rays run towards +axis and the least coordinate wins; −1: the other way round. */
  towards: 1 | -1,
  ranges: { readonly a: readonly [number, number]; readonly b: readonly [number, number]; readonly start: number },
  stepMm: number,
): Vec3 {
  const k = axis === 'x' ? 0 : axis === 'y' ? 1 : 2
  const i = (k + 1) % 3
  const j = (k + 2) % 3
  let best: Vec3 | null = null
  let bestDistance = 120
  const along: [number, number, number] = [0, 0, 0]
  along[k] = towards
  for (let a = ranges.a[0]; a <= ranges.a[1]; a += stepMm)
    for (let b = ranges.b[0]; b <= ranges.b[1]; b += stepMm) {
      const from: [number, number, number] = [0, 0, 0]
      from[k] = ranges.start
      from[i] = a
      from[j] = b
      const t = castRay(f, from, along, bestDistance)
      if (t === null || t >= bestDistance) continue
      bestDistance = t
      from[k] = ranges.start + towards * t
      best = from
    }
  if (!best) throw new Error('no surface under the grid of rays')
  return best
}

/** Contour of the section at height y: radius at `count` even angles about an inner point (angle from +X towards +Z). */
export function contour(f: Sdf, y: number, centre: readonly [number, number], count: number): Float64Array {
  const radii = new Float64Array(count)
  for (let n = 0; n < count; n++) {
    const angle = (2 * Math.PI * n) / count
    radii[n] = contourRadius(f, y, centre, angle, n > 0 ? radii[n - 1]! : null)
  }
  return radii
}

/** Radius of the section's contour in one direction from an inner point: the farthest crossing within 90 mm. */
export function contourRadius(
  f: Sdf,
  y: number,
  [cx, cz]: readonly [number, number],
  angle: number,
  near: number | null,
): number {
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  const along = (r: number) => f(cx + r * c, y, cz + r * s)
  if (near !== null && along(near - 3) < 0 && along(near + 3) > 0) return bisect(along, near - 3, near + 3)
  const t = castRay(f, [cx + 90 * c, y, cz + 90 * s], [-c, 0, -s], 90)
  if (t === null) throw new Error('the contour has no surface in this direction')
  return 90 - t
}

/** Area centroid (x, z) of the section at height y, by polar rays about a guess that lies inside. */
export function sectionCentroid(f: Sdf, y: number, guess: readonly [number, number]): [number, number] {
  let centre: [number, number] = [guess[0], guess[1]]
  const count = 96
  for (let pass = 0; pass < 2; pass++) {
    const radii = contour(f, y, centre, count)
    let area = 0
    let mx = 0
    let mz = 0
    for (let n = 0; n < count; n++) {
      const r = radii[n]!
      const angle = (2 * Math.PI * n) / count
      area += (r * r) / 2
      mx += (r * r * r * Math.cos(angle)) / 3
      mz += (r * r * r * Math.sin(angle)) / 3
    }
    centre = [centre[0] + mx / area, centre[1] + mz / area]
  }
  return centre
}
