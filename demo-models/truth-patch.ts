import { addScaled, cross, dot, scale, toRad, unit, type Vec3 } from '../src/geometry/vec.ts'
import { gradient, type Sdf } from './sdf.ts'
import { planeThrough, type Sample } from './truth-fit.ts'
import { castRay } from './truth-search.ts'

/** Where to look: a rectangle of rays in the function's own (x, z), started at y = `from`, running along `towards`·Y. */
export interface SurfaceWindow {
  readonly x: readonly [number, number]
  readonly z: readonly [number, number]
  readonly from: number
  readonly towards: 1 | -1
  readonly reach: number
  readonly stepMm: number
}

/** The surface seen along a grid of rays. */
export interface SurfaceGrid {
  readonly nx: number
  readonly nz: number
  readonly stepMm: number
  /** Row after row of x; null where no ray met the surface, or where it met it at a glance. Weights: mm² of surface. */
  readonly cells: readonly (Sample | null)[]
}

/** A load-bearing patch: outward normal of its plane, area centroid (not yet dropped on the surface). */
export interface Patch {
  readonly centroid: Vec3
  readonly normal: Vec3
  readonly areaMm2: number
  readonly rmsMm: number
}

const withinDeg = 25

/**
 * The plafond's patch of DEVELOPERS.md: seen surface whose normal lies within 25° of the patch plane's normal, largest connected
 * part, plane refitted by area until stable, from the mean normal of the points within 25° of `outward`. Only where
 * `inside` (mm, positive inside) allows. Cells that the patch's edge crosses count in part, so that centroid and plane
 * converge with the square of the grid step.
 */
export function findPatch(grid: SurfaceGrid, outward: Vec3, inside: (p: Vec3) => number): Patch {
  const allowed = grid.cells.map((c) => (c ? inside(c.point) : -1))
  let normal = meanNormal(
    grid.cells.filter((_, n) => allowed[n]! > 0),
    outward,
  )
  let patch: Patch | null = null
  for (let pass = 0; pass < 200; pass++) {
    const fit = planeThrough(patchSamples(grid, allowed, normal), normal)
    patch = { centroid: fit.centroid, normal: fit.normal, areaMm2: fit.weight, rmsMm: fit.rms }
    const turned = Math.hypot(...cross(fit.normal, normal))
    normal = fit.normal
    if (turned < 1e-7) return patch
  }
  throw new Error('the patch did not settle')
}

/** Casts the rays of a window. */
export function seenSurface(f: Sdf, w: SurfaceWindow): SurfaceGrid {
  const nx = Math.round((w.x[1] - w.x[0]) / w.stepMm) + 1
  const nz = Math.round((w.z[1] - w.z[0]) / w.stepMm) + 1
  const cells: (Sample | null)[] = []
  for (let j = 0; j < nz; j++) {
    let beside: number | null = null
    for (let i = 0; i < nx; i++) {
      const x = w.x[0] + i * w.stepMm
      const z = w.z[0] + j * w.stepMm
      const y: number | null = heightNear(f, x, z, beside, w.stepMm) ?? heightFrom(f, x, z, w)
      beside = y
      if (y === null) {
        cells.push(null)
        continue
      }
      const normal = unit(gradient(f, x, y, z, 1e-4))
      const facing = -w.towards * normal[1]
      if (facing < 0.5) beside = null
      cells.push(facing > 0.2 ? { point: [x, y, z], normal, weight: (w.stepMm * w.stepMm) / facing } : null)
    }
  }
  return { nx, nz, stepMm: w.stepMm, cells }
}

/** First meeting of the ray with the surface. */
function heightFrom(f: Sdf, x: number, z: number, w: SurfaceWindow): number | null {
  const t = castRay(f, [x, w.from, z], [0, w.towards, 0], w.reach)
  return t === null ? null : w.from + w.towards * t
}

/** The surface next to a neighbour's height by a few secant steps; null when it is not found close by. */
function heightNear(f: Sdf, x: number, z: number, beside: number | null, stepMm: number): number | null {
  if (beside === null) return null
  let y0 = beside
  let v0 = f(x, y0, z)
  let y1 = y0 + (v0 > 0 ? -1e-3 : 1e-3)
  let v1 = f(x, y1, z)
  for (let i = 0; i < 8; i++) {
    if (v1 === v0) return null
    const y = y1 - (v1 * (y1 - y0)) / (v1 - v0)
    if (Math.abs(y - beside) > 2 * stepMm) return null
    y0 = y1
    v0 = v1
    y1 = y
    v1 = f(x, y, z)
    if (Math.abs(v1) < 1e-9) return y1
  }
  return null
}

function meanNormal(cells: readonly (Sample | null)[], about: Vec3): Vec3 {
  const limit = Math.cos(toRad(withinDeg))
  let sum: Vec3 = [0, 0, 0]
  for (const c of cells) if (c && dot(c.normal, about) > limit) sum = addScaled(sum, c.normal, c.weight)
  return unit(sum)
}

/** Samples of the largest connected part within the angle, the cells at its edge with their covered share. */
function patchSamples(grid: SurfaceGrid, allowed: readonly number[], normal: Vec3): Sample[] {
  const limit = Math.cos(toRad(withinDeg))
  const q = grid.cells.map((c) => (c ? dot(c.normal, normal) - limit : -1))
  const part = largestPart(grid, (n) => q[n]! >= 0 && allowed[n]! >= 0)
  const out: Sample[] = []
  const seen = new Uint8Array(q.length)
  for (const at of part) {
    for (const n of [at, at - 1, at + 1, at - grid.nx, at + grid.nx]) {
      const cell = grid.cells[n]
      if (!cell || seen[n]) continue
      seen[n] = 1
      const share = Math.min(coveredShare(grid, q, n), Math.min(1, Math.max(0, 0.5 + allowed[n]! / grid.stepMm)))
      if (share > 0) out.push({ ...cell, weight: cell.weight * share })
    }
  }
  return out
}

/** Share of a cell on the inner side of the level q = 0, from the local slope of q (a straight edge across the cell). */
function coveredShare(grid: SurfaceGrid, q: readonly number[], at: number): number {
  const left = grid.cells[at - 1] ? q[at - 1]! : q[at]!
  const right = grid.cells[at + 1] ? q[at + 1]! : q[at]!
  const down = grid.cells[at - grid.nx] ? q[at - grid.nx]! : q[at]!
  const up = grid.cells[at + grid.nx] ? q[at + grid.nx]! : q[at]!
  const perCell = Math.hypot((right - left) / 2, (up - down) / 2)
  if (perCell < 1e-12) return q[at]! >= 0 ? 1 : 0
  return Math.min(1, Math.max(0, 0.5 + q[at]! / perCell))
}

function largestPart(grid: SurfaceGrid, isInside: (n: number) => boolean): number[] {
  const mark = new Uint8Array(grid.cells.length)
  let best: number[] = []
  for (let seed = 0; seed < mark.length; seed++) {
    if (mark[seed] || !isInside(seed)) continue
    const part = [seed]
    mark[seed] = 1
    for (let head = 0; head < part.length; head++) {
      const at = part[head]!
      const i = at % grid.nx
      for (const n of [i > 0 ? at - 1 : -1, i < grid.nx - 1 ? at + 1 : -1, at - grid.nx, at + grid.nx]) {
        if (n < 0 || n >= mark.length || mark[n] || !isInside(n)) continue
        mark[n] = 1
        part.push(n)
      }
    }
    if (part.length > best.length) best = part
  }
  return best
}

/** The point of the surface above or below a point, along a unit direction (within ±20 mm). */
export function dropped(f: Sdf, p: Vec3, up: Vec3): Vec3 {
  const g = (t: number) => f(p[0] + t * up[0], p[1] + t * up[1], p[2] + t * up[2])
  let t = 0
  for (let i = 0; i < 40; i++) {
    const v = g(t)
    if (Math.abs(v) < 1e-11) break
    t -= Math.max(-2, Math.min(2, v / ((g(t + 1e-5) - v) / 1e-5)))
  }
  return addScaled(p, scale(up, 1), t)
}
