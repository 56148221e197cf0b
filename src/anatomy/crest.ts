import { solvePositive } from '../geometry/fit-solver.ts'
import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { coarseness } from './calm-surface.ts'

/** Where a surface is looked at for a tip or a saddle. */
export interface CrestView {
  /** Coordinate that is extreme there, 0…2, and its sense. */
  readonly up: 0 | 1 | 2
  readonly sense: 1 | -1
  readonly kind: 'tip' | 'saddle'
  /** Surface within this distance sideways counts, less towards the edge (biweight), mm; half as much again on coarse triangles. */
  readonly radiusMm: number
}

/**
 * Tip or saddle of a surface, finer than its triangles: the critical point of the least-squares quadratic through the
 * surface (by area) about `start`, recentred until it stays. On a smooth bone it does not move with the mesh; on a rough
 * one it is the crest of the neighbourhood and not of one spike. Where the quadratic has no such point nearby (a ridge, a
 * corner, a coarse mesh) `start` is returned. Coordinates of the mesh, mm.
 */
export const refineCrest = (mesh: Mesh, start: Vec3, view: CrestView): Vec3 => crestFinder(mesh, start, view)(0)

/**
 * The same for many directions: the returned function gives the crest of the height over a plane that rises by `tilt`
 * per mm of z (not for a crest along z itself).
 */
export function crestFinder(mesh: Mesh, start: Vec3, view: CrestView): (tilt: number) => Vec3 {
  const a = ((view.up + 1) % 3) as 0 | 1 | 2
  const b = ((view.up + 2) % 3) as 0 | 1 | 2
  const widths = view.kind === 'saddle' ? widenings : [1]
  const near = trianglesAbout(mesh, start, Math.max(localMm, 2 * 1.5 * widths[widths.length - 1]! * view.radiusMm))
  const radius = view.radiusMm * (1 + coarseness(meanEdgeAbout(mesh, near, start)) / 2)
  const tries = widths.map((k) => ({ ...view, radiusMm: k * radius }))
  const samples = gather(mesh, near, start, tries[tries.length - 1]!, a, b)
  const zIsU = a === 2
  const origin = [start[a], start[b]] as const
  // Neighbouring directions have neighbouring crests: the last one is a shorter way up than the start.
  let last: Crest | null = null
  let about: Samples | null = null
  return (tilt) => {
    let at: Crest | null = last && about && climb(about, origin, last, tries[0]!, tilt, zIsU)
    for (const wide of tries) at ??= climb(samples, origin, null, wide, tilt, zIsU)
    if (at === null) return start
    if (tries.length === 1) {
      last = at
      about ??= samplesAbout(samples, at, tries[0]!.radiusMm)
    }
    const point: [number, number, number] = [0, 0, 0]
    point[a] = at.u
    point[b] = at.v
    point[view.up] = view.sense * at.height + tilt * (zIsU ? at.u : at.v)
    return point
  }
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
/** A neighbourhood in which there is no saddle is widened: a groove may be flat over several facets. */
const widenings = [1, 1.4, 2] as const

interface Crest {
  readonly u: number
  readonly v: number
  readonly height: number
}

/** From `from`, or where that is null from the start; null where it leads farther than the radius from the start. */
function climb(
  samples: Samples,
  start: readonly [number, number],
  from: Crest | null,
  view: CrestView,
  tilt: number,
  zIsU: boolean,
): Crest | null {
  let [u, v] = from ? [from.u, from.v] : start
  const lean = -view.sense * tilt
  const { centre, slackMm } = samples
  for (let round = 0; round < 60; round++) {
    const fit = quadratic(samples, u, v, view.radiusMm, zIsU ? lean : 0, zIsU ? 0 : lean)
    if (fit === null) return null
    const step = criticalStep(fit, view)
    if (step === null) return null
    const length = Math.hypot(step[0], step[1])
    const limited = Math.min(1, (0.4 * view.radiusMm) / length)
    u += limited * step[0]
    v += limited * step[1]
    if (Math.hypot(u - start[0], v - start[1]) > view.radiusMm) return null
    if (Math.hypot(u - centre[0], v - centre[1]) > slackMm) return null
    if (length < 1e-10) return { u, v, height: fit[0]! }
  }
  return null
}

/** Quadrature points of the surface near the start: position across, height without tilt, and area seen along it. */
interface Samples {
  readonly u: Float64Array
  readonly v: Float64Array
  readonly h: Float64Array
  readonly area: Float64Array
  /** Complete for a circle of the view's radius whose centre lies within the slack of this one. */
  readonly centre: readonly [number, number]
  readonly slackMm: number
}

/** Those of the samples that a crest near one already found needs. */
function samplesAbout({ u, v, h, area }: Samples, { u: atU, v: atV }: Crest, radiusMm: number): Samples {
  const slackMm = 1
  const most = (radiusMm + slackMm) ** 2
  const near: number[] = []
  for (let i = 0; i < u.length; i++) if ((u[i]! - atU) ** 2 + (v[i]! - atV) ** 2 < most) near.push(i)
  const of = (values: Float64Array) => {
    const out = new Float64Array(near.length)
    for (let k = 0; k < near.length; k++) out[k] = values[near[k]!]!
    return out
  }
  return { u: of(u), v: of(v), h: of(h), area: of(area), centre: [atU, atV], slackMm }
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
    centre: [start[a], start[b]],
    slackMm: Number.POSITIVE_INFINITY,
  }
}

const outside = (p: number, q: number, r: number, centre: number, reach: number): boolean =>
  (p > centre + reach && q > centre + reach && r > centre + reach) ||
  (p < centre - reach && q < centre - reach && r < centre - reach)

/** Coefficients of c0 + c1 u + c2 v + c3 u² + c4 uv + c5 v² of the leaning height about a point, by area and nearness. */
function quadratic(
  { u, v, h, area }: Samples,
  atU: number,
  atV: number,
  radius: number,
  leanU: number,
  leanV: number,
): Float64Array | null {
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
    const height = h[i]! + leanU * u[i]! + leanV * v[i]!
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

/** Step to the critical point of a quadratic of the wanted kind; null when it has none. */
function criticalStep(c: Float64Array, view: CrestView): readonly [number, number] | null {
  const [, gu, gv, cuu, cuv, cvv] = c as unknown as [number, number, number, number, number, number]
  const det = 4 * cuu * cvv - cuv * cuv
  const flat = 1e-5
  if (view.kind === 'tip' && !(det > flat * flat && cuu < 0)) return null
  if (view.kind === 'saddle' && !(det < -flat * flat)) return null
  return [(-2 * cvv * gu + cuv * gv) / det, (cuv * gu - 2 * cuu * gv) / det]
}
