import { solvePositive } from '../geometry/fit-solver.ts'
import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { coarseness } from './calm-surface.ts'

/** Where a surface is looked at for a tip. */
export interface CrestView {
  /** Coordinate that is extreme there, 0…2, and its sense. */
  readonly up: 0 | 1 | 2
  readonly sense: 1 | -1
  /** Surface within this distance sideways counts, less towards the edge (biweight), mm; half as much again on coarse triangles. */
  readonly radiusMm: number
}

/**
 * Tip of a surface, finer than its triangles: the top of the least-squares quadratic through the surface (by area) about
 * `start`, recentred until it stays. On a smooth bone it does not move with the mesh; on a rough one it is the crest of the
 * neighbourhood and not of one spike. Where the quadratic has no top nearby (a ridge, a corner, a coarse mesh) `start` is
 * returned. Coordinates of the mesh, mm.
 */
export function refineCrest(mesh: Mesh, start: Vec3, view: CrestView): Vec3 {
  const a = ((view.up + 1) % 3) as 0 | 1 | 2
  const b = ((view.up + 2) % 3) as 0 | 1 | 2
  const near = trianglesAbout(mesh, start, Math.max(localMm, 2 * 1.5 * view.radiusMm))
  const radiusMm = view.radiusMm * (1 + coarseness(meanEdgeAbout(mesh, near, start)) / 2)
  const samples = gather(mesh, near, start, { ...view, radiusMm }, a, b)
  const top = climb(samples, [start[a], start[b]], radiusMm)
  if (top === null) return start
  const point: [number, number, number] = [0, 0, 0]
  point[a] = top.u
  point[b] = top.v
  point[view.up] = view.sense * top.height
  return point
}

/** First corners (3t) of the triangles whose boxes come within a distance of a point along every axis, mm. */
function trianglesAbout({ positions: p, triangles }: Mesh, at: Vec3, reach: number): Int32Array {
  // Per vertex a bit for each of the six sides of the box it lies beyond: a triangle misses when its corners share one.
  const n = p.length / 3
  const beyond = new Uint8Array(n)
  const [x0, y0, z0] = [at[0] - reach, at[1] - reach, at[2] - reach]
  const [x1, y1, z1] = [at[0] + reach, at[1] + reach, at[2] + reach]
  for (let v = 0; v < n; v++) {
    const x = p[3 * v]!
    const y = p[3 * v + 1]!
    const z = p[3 * v + 2]!
    beyond[v] = (x < x0 ? 1 : x > x1 ? 2 : 0) | (y < y0 ? 4 : y > y1 ? 8 : 0) | (z < z0 ? 16 : z > z1 ? 32 : 0)
  }
  const found: number[] = []
  for (let t = 0; t < triangles.length; t += 3)
    if ((beyond[triangles[t]!]! & beyond[triangles[t + 1]!]! & beyond[triangles[t + 2]!]!) === 0) found.push(t)
  return new Int32Array(found)
}

/** Mean edge of those of the triangles that come within `localMm` of a point, mm. */
function meanEdgeAbout({ positions: p, triangles }: Mesh, near: Int32Array, at: Vec3): number {
  const local: number[] = []
  for (const t of near) {
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    if (outside(p[i]!, p[j]!, p[k]!, at[0], localMm)) continue
    if (outside(p[i + 1]!, p[j + 1]!, p[k + 1]!, at[1], localMm)) continue
    if (outside(p[i + 2]!, p[j + 2]!, p[k + 2]!, at[2], localMm)) continue
    local.push(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!)
  }
  return meanEdgeMm({ positions: p, triangles: new Uint32Array(local) })
}

const localMm = 6

interface Crest {
  readonly u: number
  readonly v: number
  readonly height: number
}

/** The top near a start; null where there is none, or it lies farther off than the radius. */
function climb(samples: Samples, start: readonly [number, number], radiusMm: number): Crest | null {
  let [u, v] = start
  for (let round = 0; round < 60; round++) {
    const fit = quadratic(samples, u, v, radiusMm)
    if (fit === null) return null
    const step = stepToTop(fit)
    if (step === null) return null
    const length = Math.hypot(step[0], step[1])
    const limited = Math.min(1, (0.4 * radiusMm) / length)
    u += limited * step[0]
    v += limited * step[1]
    if (Math.hypot(u - start[0], v - start[1]) > radiusMm) return null
    if (length < 1e-10) return { u, v, height: fit[0]! }
  }
  return null
}

/** Quadrature points of the surface near the start: position across, height, and area seen along it. */
interface Samples {
  readonly u: Float64Array
  readonly v: Float64Array
  readonly h: Float64Array
  readonly area: Float64Array
}

function gather(mesh: Mesh, near: Int32Array, start: Vec3, view: CrestView, a: 0 | 1 | 2, b: 0 | 1 | 2): Samples {
  const { positions: p, triangles } = mesh
  const reach = 2 * view.radiusMm
  const up = view.up
  const half = view.sense / 2
  const within = new Int32Array(near.length)
  let most = 0
  for (let m = 0; m < near.length; m++) {
    const t = near[m]!
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    if (outside(p[i + a]!, p[j + a]!, p[k + a]!, start[a], reach)) continue
    if (outside(p[i + b]!, p[j + b]!, p[k + b]!, start[b], reach)) continue
    if (!outside(p[i + up]!, p[j + up]!, p[k + up]!, start[up], reach)) within[most++] = t
  }
  const u = new Float64Array(3 * most)
  const v = new Float64Array(3 * most)
  const h = new Float64Array(3 * most)
  const area = new Float64Array(3 * most)
  let count = 0
  for (let m = 0; m < most; m++) {
    const t = within[m]!
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    const across =
      ((p[j + a]! - p[i + a]!) * (p[k + b]! - p[i + b]!) - (p[j + b]! - p[i + b]!) * (p[k + a]! - p[i + a]!)) / 2
    if (across === 0) continue
    // Edge midpoints integrate a quadratic over a triangle exactly.
    u[count] = (p[i + a]! + p[j + a]!) / 2
    v[count] = (p[i + b]! + p[j + b]!) / 2
    h[count] = half * (p[i + up]! + p[j + up]!)
    u[count + 1] = (p[j + a]! + p[k + a]!) / 2
    v[count + 1] = (p[j + b]! + p[k + b]!) / 2
    h[count + 1] = half * (p[j + up]! + p[k + up]!)
    u[count + 2] = (p[k + a]! + p[i + a]!) / 2
    v[count + 2] = (p[k + b]! + p[i + b]!) / 2
    h[count + 2] = half * (p[k + up]! + p[i + up]!)
    area.fill(Math.abs(across) / 3, count, count + 3)
    count += 3
  }
  return {
    u: u.subarray(0, count),
    v: v.subarray(0, count),
    h: h.subarray(0, count),
    area: area.subarray(0, count),
  }
}

const outside = (p: number, q: number, r: number, centre: number, reach: number): boolean =>
  (p > centre + reach && q > centre + reach && r > centre + reach) ||
  (p < centre - reach && q < centre - reach && r < centre - reach)

/** Coefficients of c0 + c1 u + c2 v + c3 u² + c4 uv + c5 v² of the height about a point, by area and nearness. */
function quadratic({ u, v, h, area }: Samples, atU: number, atV: number, radius: number): Float64Array | null {
  let used = 0
  let base = 0
  // Weighted sums of x^i y^j (sij), and of the height times that (hij).
  let s00 = 0
  let s10 = 0
  let s01 = 0
  let s20 = 0
  let s11 = 0
  let s02 = 0
  let s30 = 0
  let s21 = 0
  let s12 = 0
  let s03 = 0
  let s40 = 0
  let s31 = 0
  let s22 = 0
  let s13 = 0
  let s04 = 0
  let h00 = 0
  let h10 = 0
  let h01 = 0
  let h20 = 0
  let h11 = 0
  let h02 = 0
  for (let i = 0; i < u.length; i++) {
    const x = (u[i]! - atU) / radius
    const y = (v[i]! - atV) / radius
    const xx = x * x
    const yy = y * y
    const q = xx + yy
    if (q >= 1) continue
    const height = h[i]!
    if (used === 0) base = height
    const w = area[i]! * (1 - q) * (1 - q)
    const wx = w * x
    const wy = w * y
    const wxx = w * xx
    const wxy = wx * y
    const wyy = w * yy
    s00 += w
    s10 += wx
    s01 += wy
    s20 += wxx
    s11 += wxy
    s02 += wyy
    s30 += wxx * x
    s21 += wxx * y
    s12 += wyy * x
    s03 += wyy * y
    s40 += wxx * xx
    s31 += wxx * x * y
    s22 += wxx * yy
    s13 += wyy * x * y
    s04 += wyy * yy
    const over = height - base
    h00 += w * over
    h10 += wx * over
    h01 += wy * over
    h20 += wxx * over
    h11 += wxy * over
    h02 += wyy * over
    used++
  }
  if (used < 24) return null
  const sums = [s00, s10, s01, s20, s11, s02, s30, s21, s12, s03, s40, s31, s22, s13, s04]
  for (let k = 0; k < 36; k++) normal[k] = sums[sumAt[k]!]!
  right.set([h00, h10, h01, h20, h11, h02])
  const c = solvePositive(normal, right, 6)
  if (c === null) return null
  const r = radius
  return Float64Array.of(c[0]! + base, c[1]! / r, c[2]! / r, c[3]! / r / r, c[4]! / r / r, c[5]! / r / r)
}

const normal = new Float64Array(36)
const right = new Float64Array(6)
/** Which of the sums stands where in the normal matrix of 1, x, y, x², xy, y². */
const sumAt = [
  0, 1, 2, 3, 4, 5, 1, 3, 4, 6, 7, 8, 2, 4, 5, 7, 8, 9, 3, 6, 7, 10, 11, 12, 4, 7, 8, 11, 12, 13, 5, 8, 9, 12, 13, 14,
]

/** Step to the top of a quadratic; null when it has none. */
function stepToTop(c: Float64Array): readonly [number, number] | null {
  const [, gu, gv, cuu, cuv, cvv] = c as unknown as [number, number, number, number, number, number]
  const det = 4 * cuu * cvv - cuv * cuv
  const flat = 1e-5
  if (!(det > flat * flat && cuu < 0)) return null
  return [(-2 * cvv * gu + cuv * gv) / det, (cuv * gu - 2 * cuu * gv) / det]
}
