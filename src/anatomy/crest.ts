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
  return (tilt) => {
    let at: Crest | null = null
    for (const wide of tries) at ??= climb(samples, [start[a], start[b]], wide, tilt, zIsU)
    if (at === null) return start
    const point: [number, number, number] = [0, 0, 0]
    point[a] = at.u
    point[b] = at.v
    point[view.up] = view.sense * at.height + tilt * (zIsU ? at.u : at.v)
    return point
  }
}

/** First corners (3t) of the triangles whose boxes come within a distance of a point along every axis, mm. */
function trianglesAbout({ positions: p, triangles }: Mesh, at: Vec3, reach: number): Int32Array {
  const found: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    if (outside(p[i]!, p[j]!, p[k]!, at[0], reach)) continue
    if (outside(p[i + 1]!, p[j + 1]!, p[k + 1]!, at[1], reach)) continue
    if (outside(p[i + 2]!, p[j + 2]!, p[k + 2]!, at[2], reach)) continue
    found.push(t)
  }
  return Int32Array.from(found)
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
  return meanEdgeMm({ positions: p, triangles: Uint32Array.from(local) })
}

const localMm = 6
/** A neighbourhood in which there is no saddle is widened: a groove may be flat over several facets. */
const widenings = [1, 1.4, 2] as const

interface Crest {
  readonly u: number
  readonly v: number
  readonly height: number
}

function climb(
  samples: Samples,
  start: readonly [number, number],
  view: CrestView,
  tilt: number,
  zIsU: boolean,
): Crest | null {
  let [u, v] = start
  const lean = -view.sense * tilt
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
}

function gather(mesh: Mesh, near: Int32Array, start: Vec3, view: CrestView, a: 0 | 1 | 2, b: 0 | 1 | 2): Samples {
  const { positions: p, triangles } = mesh
  const u: number[] = []
  const v: number[] = []
  const h: number[] = []
  const area: number[] = []
  const reach = 2 * view.radiusMm
  const up = view.up
  for (const t of near) {
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    if (outside(p[i + a]!, p[j + a]!, p[k + a]!, start[a], reach)) continue
    if (outside(p[i + b]!, p[j + b]!, p[k + b]!, start[b], reach)) continue
    if (outside(p[i + up]!, p[j + up]!, p[k + up]!, start[up], reach)) continue
    const across =
      ((p[j + a]! - p[i + a]!) * (p[k + b]! - p[i + b]!) - (p[j + b]! - p[i + b]!) * (p[k + a]! - p[i + a]!)) / 2
    if (across === 0) continue
    // Edge midpoints integrate a quadratic over a triangle exactly.
    for (const [m, n] of [
      [i, j],
      [j, k],
      [k, i],
    ] as const) {
      u.push((p[m + a]! + p[n + a]!) / 2)
      v.push((p[m + b]! + p[n + b]!) / 2)
      h.push((view.sense * (p[m + up]! + p[n + up]!)) / 2)
      area.push(Math.abs(across) / 3)
    }
  }
  return { u: Float64Array.from(u), v: Float64Array.from(v), h: Float64Array.from(h), area: Float64Array.from(area) }
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
  const normal = new Float64Array(36)
  const right = new Float64Array(6)
  const row = new Float64Array(6)
  let used = 0
  let base = Number.NaN
  for (let i = 0; i < u.length; i++) {
    const x = (u[i]! - atU) / radius
    const y = (v[i]! - atV) / radius
    const q = x * x + y * y
    if (q >= 1) continue
    const height = h[i]! + leanU * u[i]! + leanV * v[i]!
    if (Number.isNaN(base)) base = height
    const w = area[i]! * (1 - q) * (1 - q)
    row[0] = 1
    row[1] = x
    row[2] = y
    row[3] = x * x
    row[4] = x * y
    row[5] = y * y
    for (let r = 0; r < 6; r++) {
      const weighed = w * row[r]!
      right[r]! += weighed * (height - base)
      for (let c = 0; c <= r; c++) normal[6 * r + c]! += weighed * row[c]!
    }
    used++
  }
  if (used < 24) return null
  for (let r = 0; r < 6; r++) for (let c = r + 1; c < 6; c++) normal[6 * r + c] = normal[6 * c + r]!
  const c = solvePositive(normal, right, 6)
  if (c === null) return null
  const r = radius
  return Float64Array.of(c[0]! + base, c[1]! / r, c[2]! / r, c[3]! / r / r, c[4]! / r / r, c[5]! / r / r)
}

/** Step to the critical point of a quadratic of the wanted kind; null when it has none. */
function criticalStep(c: Float64Array, view: CrestView): readonly [number, number] | null {
  const [, gu, gv, cuu, cuv, cvv] = c as unknown as [number, number, number, number, number, number]
  const det = 4 * cuu * cvv - cuv * cuv
  const flat = 1e-5
  if (view.kind === 'tip' && !(det > flat * flat && cuu < 0)) return null
  if (view.kind === 'saddle' && !(det < -flat * flat)) return null
  return [(-2 * cvv * gu + cuv * gv) / det, (cuv * gu - 2 * cuu * gv) / det]
}
