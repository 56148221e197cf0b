import { eigenSymmetric3 } from '../geometry/fit.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, anyPerpendicular, cross, scale, type Vec3 } from '../geometry/vec.ts'

/** The surface's own inertia axes: area-weighted, so remeshing does not matter. */
export interface SurfaceMoments {
  readonly areaMm2: number
  readonly centroid: Vec3
  /** Unit, longest first. Signs are arbitrary. */
  readonly axes: readonly [Vec3, Vec3, Vec3]
  /** Standard deviations of the surface along the axes, mm. */
  readonly spreads: Vec3
}

/** Area, centroid and principal axes of a surface by exact integrals over its triangles. An empty mesh has area 0. */
export function surfaceMoments(mesh: Mesh): SurfaceMoments {
  const { positions: p, triangles } = mesh
  const o: Vec3 = p.length > 0 ? [p[0]!, p[1]!, p[2]!] : [0, 0, 0]
  let area = 0
  const first = new Float64Array(3)
  const second = new Float64Array(6)
  for (let t = 0; t < triangles.length; t += 3) {
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    const ax = p[i]! - o[0]
    const ay = p[i + 1]! - o[1]
    const az = p[i + 2]! - o[2]
    const bx = p[j]! - o[0]
    const by = p[j + 1]! - o[1]
    const bz = p[j + 2]! - o[2]
    const cx = p[k]! - o[0]
    const cy = p[k + 1]! - o[1]
    const cz = p[k + 2]! - o[2]
    const nx = (by - ay) * (cz - az) - (bz - az) * (cy - ay)
    const ny = (bz - az) * (cx - ax) - (bx - ax) * (cz - az)
    const nz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    const a = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2
    const sx = ax + bx + cx
    const sy = ay + by + cy
    const sz = az + bz + cz
    const w = a / 12
    area += a
    first[0]! += (a * sx) / 3
    first[1]! += (a * sy) / 3
    first[2]! += (a * sz) / 3
    second[0]! += w * (sx * sx + ax * ax + bx * bx + cx * cx)
    second[1]! += w * (sx * sy + ax * ay + bx * by + cx * cy)
    second[2]! += w * (sx * sz + ax * az + bx * bz + cx * cz)
    second[3]! += w * (sy * sy + ay * ay + by * by + cy * cy)
    second[4]! += w * (sy * sz + ay * az + by * bz + cy * cz)
    second[5]! += w * (sz * sz + az * az + bz * bz + cz * cz)
  }
  if (!(area > 0))
    return {
      areaMm2: 0,
      centroid: o,
      axes: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
      spreads: [0, 0, 0],
    }
  const c: Vec3 = [first[0]! / area, first[1]! / area, first[2]! / area]
  const { values, vectors } = eigenSymmetric3({
    xx: second[0]! / area - c[0] * c[0],
    xy: second[1]! / area - c[0] * c[1],
    xz: second[2]! / area - c[0] * c[2],
    yy: second[3]! / area - c[1] * c[1],
    yz: second[4]! / area - c[1] * c[2],
    zz: second[5]! / area - c[2] * c[2],
  })
  const spread = (k: 0 | 1 | 2) => Math.sqrt(Math.max(values[k], 0))
  return {
    areaMm2: area,
    centroid: add(o, c),
    axes: [vectors[2], vectors[1], vectors[0]],
    spreads: [spread(2), spread(1), spread(0)],
  }
}

/** What the outline of one cross-section looks like, judged along its length, so that gaps hardly matter. */
export interface Slice {
  /** Position along the axis from its point, mm. */
  readonly at: number
  readonly outlineMm: number
  /** Centroid of the outline, in the frame of the mesh. */
  readonly centroid: Vec3
  /** Unit, across the axis, the direction in which the outline is widest; its sign is arbitrary. */
  readonly wideAxis: Vec3
  /** √2 × the outline's standard deviations: the radii, for a circle. */
  readonly wideMm: number
  readonly narrowMm: number
}

/** Cross-sections of a surface perpendicular to the unit `axis` through `point` at `levels` (ascending, mm). */
export function slicesAlong(mesh: Mesh, point: Vec3, axis: Vec3, levels: readonly number[]): Slice[] {
  const { positions: p, triangles } = mesh
  const u = anyPerpendicular(axis)
  const w = cross(axis, u)
  const n = p.length / 3
  const t = new Float64Array(n)
  const a = new Float64Array(n)
  const b = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const x = p[3 * i]! - point[0]
    const y = p[3 * i + 1]! - point[1]
    const z = p[3 * i + 2]! - point[2]
    t[i] = x * axis[0] + y * axis[1] + z * axis[2]
    a[i] = x * u[0] + y * u[1] + z * u[2]
    b[i] = x * w[0] + y * w[1] + z * w[2]
  }
  const sums = new Float64Array(levels.length * 6)
  const ends = new Float64Array(4)
  for (let k = 0; k < triangles.length; k += 3) {
    const i = triangles[k]!
    const j = triangles[k + 1]!
    const l = triangles[k + 2]!
    const low = Math.min(t[i]!, t[j]!, t[l]!)
    const high = Math.max(t[i]!, t[j]!, t[l]!)
    for (let q = firstAtLeast(levels, low); q < levels.length && levels[q]! <= high; q++) {
      if (!crossing(t, a, b, i, j, l, levels[q]!, ends)) continue
      const len = Math.sqrt((ends[2]! - ends[0]!) ** 2 + (ends[3]! - ends[1]!) ** 2)
      const at = 6 * q
      sums[at]! += len
      sums[at + 1]! += (len * (ends[0]! + ends[2]!)) / 2
      sums[at + 2]! += (len * (ends[1]! + ends[3]!)) / 2
      sums[at + 3]! += (len * (ends[0]! * ends[0]! + ends[0]! * ends[2]! + ends[2]! * ends[2]!)) / 3
      sums[at + 4]! +=
        (len * (2 * (ends[0]! * ends[1]! + ends[2]! * ends[3]!) + ends[0]! * ends[3]! + ends[2]! * ends[1]!)) / 6
      sums[at + 5]! += (len * (ends[1]! * ends[1]! + ends[1]! * ends[3]! + ends[3]! * ends[3]!)) / 3
    }
  }
  return levels.map((level, q) => describe(level, sums.subarray(6 * q, 6 * q + 6), point, axis, u, w))
}

function describe(at: number, s: Float64Array, point: Vec3, axis: Vec3, u: Vec3, w: Vec3): Slice {
  const len = s[0]!
  if (!(len > 0))
    return { at, outlineMm: 0, centroid: add(point, scale(axis, at)), wideAxis: u, wideMm: 0, narrowMm: 0 }
  const ma = s[1]! / len
  const mb = s[2]! / len
  const aa = s[3]! / len - ma * ma
  const ab = s[4]! / len - ma * mb
  const bb = s[5]! / len - mb * mb
  const turn = Math.atan2(2 * ab, aa - bb) / 2
  const mean = (aa + bb) / 2
  const half = Math.hypot((aa - bb) / 2, ab)
  return {
    at,
    outlineMm: len,
    centroid: add(add(point, scale(axis, at)), add(scale(u, ma), scale(w, mb))),
    wideAxis: add(scale(u, Math.cos(turn)), scale(w, Math.sin(turn))),
    wideMm: Math.sqrt(2 * Math.max(mean + half, 0)),
    narrowMm: Math.sqrt(2 * Math.max(mean - half, 0)),
  }
}

function firstAtLeast(levels: readonly number[], value: number): number {
  let low = 0
  let high = levels.length
  while (low < high) {
    const mid = (low + high) >> 1
    if (levels[mid]! < value) low = mid + 1
    else high = mid
  }
  return low
}

/** Ends (a, b) of the segment in which a triangle crosses a level; false when it does not. */
function crossing(
  t: Float64Array,
  a: Float64Array,
  b: Float64Array,
  i: number,
  j: number,
  l: number,
  level: number,
  ends: Float64Array,
): boolean {
  const si = t[i]! >= level
  const sj = t[j]! >= level
  const sl = t[l]! >= level
  if (si === sj && sj === sl) return false
  const lone = si === sj ? l : si === sl ? j : i
  const p = lone === i ? j : i
  const q = lone === l ? j : l
  const f = (level - t[lone]!) / (t[p]! - t[lone]!)
  const g = (level - t[lone]!) / (t[q]! - t[lone]!)
  ends[0] = a[lone]! + f * (a[p]! - a[lone]!)
  ends[1] = b[lone]! + f * (b[p]! - b[lone]!)
  ends[2] = a[lone]! + g * (a[q]! - a[lone]!)
  ends[3] = b[lone]! + g * (b[q]! - b[lone]!)
  return true
}

/**
 * How far a surface's cross-sections at levels (ascending, mm) of the unit `axis` reach against and along the unit `direction`,
 * both as positions along it from `point`, mm; [0, 0] where a level meets nothing.
 */
export function reachesAlong(
  mesh: Mesh,
  point: Vec3,
  axis: Vec3,
  levels: readonly number[],
  direction: Vec3,
): readonly (readonly [number, number])[] {
  const { positions: p, triangles } = mesh
  const n = p.length / 3
  const along = new Float64Array(n)
  for (let v = 0; v < n; v++)
    along[v] =
      (p[3 * v]! - point[0]) * axis[0] + (p[3 * v + 1]! - point[1]) * axis[1] + (p[3 * v + 2]! - point[2]) * axis[2]
  const across = (v: number) =>
    (p[3 * v]! - point[0]) * direction[0] +
    (p[3 * v + 1]! - point[1]) * direction[1] +
    (p[3 * v + 2]! - point[2]) * direction[2]
  const least = levels[0] ?? Number.POSITIVE_INFINITY
  const reaches = levels.map((): [number, number] => [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])
  for (let t = 0; t < triangles.length; t++) {
    const i = triangles[t]!
    const j = triangles[t % 3 === 2 ? t - 2 : t + 1]!
    const ti = along[i]!
    const tj = along[j]!
    const high = Math.max(ti, tj)
    if (high < least) continue
    const low = Math.min(ti, tj)
    for (let q = firstAtLeast(levels, low); q < levels.length && levels[q]! <= high; q++) {
      const level = levels[q]!
      if (ti >= level === tj >= level) continue
      const share = (ti - level) / (ti - tj)
      const at = across(i) * (1 - share) + across(j) * share
      const reach = reaches[q]!
      if (at < reach[0]) reach[0] = at
      if (at > reach[1]) reach[1] = at
    }
  }
  return reaches.map((reach) => (reach[0] <= reach[1] ? reach : [0, 0]))
}
