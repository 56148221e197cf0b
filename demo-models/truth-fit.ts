/** Least squares for the truth, written apart from the finder's fits. */
import { add, addScaled, cross, dot, scale, sub, unit, type Vec3 } from '../src/geometry/vec.ts'

/** A sample of a surface: place, unit normal, weight (area). */
export interface Sample {
  readonly point: Vec3
  readonly normal: Vec3
  readonly weight: number
}

/** Line of least squared distance to the points, by power iteration on their scatter; direction along `near`. */
export function lineThrough(points: readonly Vec3[], near: Vec3): { point: Vec3; direction: Vec3 } {
  const centre = scale(points.reduce(add, [0, 0, 0]), 1 / points.length)
  let direction = unit(near)
  for (let i = 0; i < 200; i++) {
    let next: Vec3 = [0, 0, 0]
    for (const p of points) {
      const d = sub(p, centre)
      next = addScaled(next, d, dot(d, direction))
    }
    direction = unit(next)
  }
  return { point: centre, direction: dot(direction, near) < 0 ? scale(direction, -1) : direction }
}

/**
 * Plane of least squared distance to weighted points, from a start normal; also the weighted centroid and RMS distance.
 * `share` (one number per sample) multiplies the weights.
 */
export function planeThrough(
  samples: readonly Sample[],
  startNormal: Vec3,
  share?: Float64Array,
): { centroid: Vec3; normal: Vec3; rms: number; weight: number } {
  const weights = Float64Array.from(samples, (s, n) => s.weight * (share ? share[n]! : 1))
  let weight = 0
  let x = 0
  let y = 0
  let z = 0
  for (let n = 0; n < samples.length; n++) {
    const w = weights[n]!
    const p = samples[n]!.point
    weight += w
    x += w * p[0]
    y += w * p[1]
    z += w * p[2]
  }
  const centroid: Vec3 = [x / weight, y / weight, z / weight]
  let xx = 0
  let xy = 0
  let xz = 0
  let yy = 0
  let yz = 0
  let zz = 0
  for (let n = 0; n < samples.length; n++) {
    const w = weights[n]!
    const p = samples[n]!.point
    const u = p[0] - centroid[0]
    const v = p[1] - centroid[1]
    const t = p[2] - centroid[2]
    xx += w * u * u
    xy += w * u * v
    xz += w * u * t
    yy += w * v * v
    yz += w * v * t
    zz += w * t * t
  }
  const spread = ([u, v, t]: Vec3): Vec3 => [
    xx * u + xy * v + xz * t,
    xy * u + yy * v + yz * t,
    xz * u + yz * v + zz * t,
  ]
  let normal = startNormal
  let rms = 0
  for (let pass = 0; pass < 30; pass++) {
    const e1 = unit(cross(normal, [0.3, 0.2, 0.9]))
    const e2 = cross(normal, e1)
    const [s1, s2, sn] = [spread(e1), spread(e2), spread(normal)]
    const [aa, ab, bb] = [dot(e1, s1), dot(e1, s2), dot(e2, s2)]
    const [ah, bh, hh] = [dot(e1, sn), dot(e2, sn), dot(normal, sn)]
    rms = Math.sqrt(Math.max(0, hh) / weight)
    const det = aa * bb - ab * ab
    const ta = (ah * bb - bh * ab) / det
    const tb = (bh * aa - ah * ab) / det
    normal = unit(sub(normal, add(scale(e1, ta), scale(e2, tb))))
    if (Math.hypot(ta, tb) < 1e-9) break
  }
  return { centroid, normal, rms, weight }
}

/** Cylinder of least squared distance to weighted points, from a start axis (Gauss–Newton on distance to axis − radius). */
export function cylinderThrough(
  samples: readonly Sample[],
  start: { readonly point: Vec3; readonly direction: Vec3; readonly radius: number },
): { point: Vec3; direction: Vec3; radius: number; rms: number } {
  let { point, direction, radius } = start
  let rms = 0
  for (let pass = 0; pass < 60; pass++) {
    const e1 = unit(cross(direction, [0.9, 0.1, 0.2]))
    const e2 = cross(direction, e1)
    const normalMatrix = Array.from({ length: 5 }, () => new Float64Array(6))
    let sum = 0
    let weight = 0
    for (const s of samples) {
      const d = sub(s.point, point)
      const along = dot(d, direction)
      const [a, b] = [dot(d, e1), dot(d, e2)]
      const rho = Math.hypot(a, b)
      const [ca, cb] = [a / rho, b / rho]
      const residual = rho - radius
      const row = [-ca, -cb, -ca * along, -cb * along, -1]
      for (let i = 0; i < 5; i++) {
        for (let j = 0; j < 5; j++) normalMatrix[i]![j]! += s.weight * row[i]! * row[j]!
        normalMatrix[i]![5]! -= s.weight * row[i]! * residual
      }
      sum += s.weight * residual * residual
      weight += s.weight
    }
    rms = Math.sqrt(sum / weight)
    const [pa, pb, da, db, dr] = solve(normalMatrix) as [number, number, number, number, number]
    point = add(point, add(scale(e1, pa), scale(e2, pb)))
    direction = unit(add(direction, add(scale(e1, da), scale(e2, db))))
    radius += dr
    if (Math.abs(pa) + Math.abs(pb) + 30 * (Math.abs(da) + Math.abs(db)) + Math.abs(dr) < 1e-10) break
  }
  return { point, direction, radius, rms }
}

/** Gaussian elimination with pivoting of an augmented matrix. */
function solve(m: Float64Array[]): number[] {
  const n = m.length
  for (let c = 0; c < n; c++) {
    let pivot = c
    for (let r = c + 1; r < n; r++) if (Math.abs(m[r]![c]!) > Math.abs(m[pivot]![c]!)) pivot = r
    ;[m[c], m[pivot]] = [m[pivot]!, m[c]!]
    for (let r = 0; r < n; r++) {
      if (r === c) continue
      const k = m[r]![c]! / m[c]![c]!
      for (let q = c; q <= n; q++) m[r]![q]! -= k * m[c]![q]!
    }
  }
  return m.map((row, i) => row[n]! / row[i]!)
}
