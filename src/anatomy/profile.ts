import { eigenSymmetric3 } from '../geometry/fit.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, anyPerpendicular, cross, dot, scale, type Vec3 } from '../geometry/vec.ts'

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
  const first = [0, 0, 0]
  const second = new Float64Array(6)
  const v = new Float64Array(9)
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) for (let c = 0; c < 3; c++) v[3 * k + c] = p[3 * triangles[t + k]! + c]! - o[c]!
    const ux = v[3]! - v[0]!
    const uy = v[4]! - v[1]!
    const uz = v[5]! - v[2]!
    const wx = v[6]! - v[0]!
    const wy = v[7]! - v[1]!
    const wz = v[8]! - v[2]!
    const a = Math.hypot(uy * wz - uz * wy, uz * wx - ux * wz, ux * wy - uy * wx) / 2
    area += a
    const sx = v[0]! + v[3]! + v[6]!
    const sy = v[1]! + v[4]! + v[7]!
    const sz = v[2]! + v[5]! + v[8]!
    first[0]! += (a * sx) / 3
    first[1]! += (a * sy) / 3
    first[2]! += (a * sz) / 3
    const k = a / 12
    second[0]! += k * (sx * sx + v[0]! * v[0]! + v[3]! * v[3]! + v[6]! * v[6]!)
    second[1]! += k * (sx * sy + v[0]! * v[1]! + v[3]! * v[4]! + v[6]! * v[7]!)
    second[2]! += k * (sx * sz + v[0]! * v[2]! + v[3]! * v[5]! + v[6]! * v[8]!)
    second[3]! += k * (sy * sy + v[1]! * v[1]! + v[4]! * v[4]! + v[7]! * v[7]!)
    second[4]! += k * (sy * sz + v[1]! * v[2]! + v[4]! * v[5]! + v[7]! * v[8]!)
    second[5]! += k * (sz * sz + v[2]! * v[2]! + v[5]! * v[5]! + v[8]! * v[8]!)
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
    const d: Vec3 = [p[3 * i]! - point[0], p[3 * i + 1]! - point[1], p[3 * i + 2]! - point[2]]
    t[i] = dot(d, axis)
    a[i] = dot(d, u)
    b[i] = dot(d, w)
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
      const len = Math.hypot(ends[2]! - ends[0]!, ends[3]! - ends[1]!)
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
 * How far a surface's cross-section at a level of the unit `axis` reaches against and along the unit `direction`, both
 * as positions along it from `point`, mm; [0, 0] where the level meets nothing.
 */
export function reachAt(
  mesh: Mesh,
  point: Vec3,
  axis: Vec3,
  level: number,
  direction: Vec3,
): readonly [number, number] {
  const { positions: p, triangles } = mesh
  const from = (v: number, d: Vec3) =>
    (p[3 * v]! - point[0]) * d[0] + (p[3 * v + 1]! - point[1]) * d[1] + (p[3 * v + 2]! - point[2]) * d[2]
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (let t = 0; t < triangles.length; t++) {
    const i = triangles[t]!
    const j = triangles[t % 3 === 2 ? t - 2 : t + 1]!
    const ti = from(i, axis) - level
    const tj = from(j, axis) - level
    if (ti >= 0 === tj >= 0) continue
    const share = ti / (ti - tj)
    const at = from(i, direction) * (1 - share) + from(j, direction) * share
    if (at < low) low = at
    if (at > high) high = at
  }
  return low <= high ? [low, high] : [0, 0]
}
