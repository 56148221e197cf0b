import type { Mesh } from '../geometry/mesh.ts'
import { QuadraticFit } from './quadratic.ts'

/**
 * A surface seen along Y on a square grid over (x, z), mm: the first height met from above (or below) at each node, and
 * there the slopes dy/dx and dy/dz of the plane through its neighbourhood. NaN where nothing is met.
 */
export interface HeightField {
  readonly stepMm: number
  readonly nx: number
  readonly nz: number
  readonly lowX: number
  readonly lowZ: number
  readonly height: Float64Array
  readonly slopeX: Float64Array
  readonly slopeZ: Float64Array
}

/** Region of the grid, mm. Its nodes lie on whole multiples of the step, so that they do not depend on the region. */
export interface Region {
  readonly x: readonly [number, number]
  readonly z: readonly [number, number]
  /** Heights outside are not looked at. */
  readonly y: readonly [number, number]
}

/**
 * Height field of a mesh whose Y is the viewing axis. `from` says whether the topmost or the lowest surface is seen;
 * slopes are those of the least-squares plane through the nodes within `smoothMm` that belong to the same sheet. A
 * region of more nodes than any bone needs gives null.
 */
export function heightField(
  mesh: Mesh,
  from: 'above' | 'below',
  region: Region,
  stepMm: number,
  smoothMm: number,
): HeightField | null {
  const lowX = Math.floor(region.x[0] / stepMm) * stepMm
  const lowZ = Math.floor(region.z[0] / stepMm) * stepMm
  const nx = Math.ceil((region.x[1] - lowX) / stepMm) + 1
  const nz = Math.ceil((region.z[1] - lowZ) / stepMm) + 1
  if (!(nx * nz <= MOST_NODES)) return null
  const grid = { stepMm, nx, nz, lowX, lowZ }
  const height = raster(mesh, from === 'above' ? 1 : -1, region.y, grid)
  return { ...grid, height, ...localPlanes(height, nx, nz, stepMm, smoothMm) }
}

/** A metre by a metre at half a millimetre. */
const MOST_NODES = 4_000_000

interface Grid {
  readonly stepMm: number
  readonly nx: number
  readonly nz: number
  readonly lowX: number
  readonly lowZ: number
}

function raster(mesh: Mesh, sense: 1 | -1, [bottom, top]: readonly [number, number], grid: Grid): Float64Array {
  const { stepMm: step, nx, nz, lowX, lowZ } = grid
  const height = new Float64Array(nx * nz).fill(Number.NaN)
  const { positions: p, triangles } = mesh
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const ya = p[a + 1]!
    const yb = p[b + 1]!
    const yc = p[c + 1]!
    if (Math.max(ya, yb, yc) < bottom || Math.min(ya, yb, yc) > top) continue
    const xa = (p[a]! - lowX) / step
    const xb = (p[b]! - lowX) / step
    const xc = (p[c]! - lowX) / step
    const za = (p[a + 2]! - lowZ) / step
    const zb = (p[b + 2]! - lowZ) / step
    const zc = (p[c + 2]! - lowZ) / step
    const det = (xb - xa) * (zc - za) - (zb - za) * (xc - xa)
    if (det === 0) continue
    const i0 = Math.max(0, Math.ceil(Math.min(xa, xb, xc)))
    const i1 = Math.min(nx - 1, Math.floor(Math.max(xa, xb, xc)))
    const j0 = Math.max(0, Math.ceil(Math.min(za, zb, zc)))
    const j1 = Math.min(nz - 1, Math.floor(Math.max(za, zb, zc)))
    for (let j = j0; j <= j1; j++)
      for (let i = i0; i <= i1; i++) {
        const wb = ((i - xa) * (zc - za) - (j - za) * (xc - xa)) / det
        const wc = ((xb - xa) * (j - za) - (zb - za) * (i - xa)) / det
        if (wb < -1e-12 || wc < -1e-12 || wb + wc > 1 + 1e-12) continue
        const y = ya + wb * (yb - ya) + wc * (yc - ya)
        if (y < bottom || y > top) continue
        const at = j * nx + i
        if (!(sense * height[at]! >= sense * y)) height[at] = y
      }
  }
  return height
}

/** Slopes of the plane through the disc of nodes about each node; nodes a cliff away do not count. */
function localPlanes(
  height: Float64Array,
  nx: number,
  nz: number,
  step: number,
  smoothMm: number,
): { slopeX: Float64Array; slopeZ: Float64Array } {
  const slopeX = new Float64Array(height.length).fill(Number.NaN)
  const slopeZ = new Float64Array(height.length).fill(Number.NaN)
  const reach = Math.max(1, Math.round(smoothMm / step))
  const offsets: number[] = []
  for (let j = -reach; j <= reach; j++)
    for (let i = -reach; i <= reach; i++) if (i * i + j * j <= reach * reach + 0.5) offsets.push(i, j)
  // Steeper than about 70° across the disc is another sheet.
  const cliff = 2.75 * reach * step
  for (let j = 0; j < nz; j++)
    for (let i = 0; i < nx; i++) {
      const h0 = height[j * nx + i]!
      if (Number.isNaN(h0)) continue
      let n = 0
      let sx = 0
      let sz = 0
      let sh = 0
      let xx = 0
      let xz = 0
      let zz = 0
      let xh = 0
      let zh = 0
      for (let o = 0; o < offsets.length; o += 2) {
        const di = offsets[o]!
        const dj = offsets[o + 1]!
        const k = i + di
        const l = j + dj
        if (k < 0 || k >= nx || l < 0 || l >= nz) continue
        const h = height[l * nx + k]! - h0
        if (!(Math.abs(h) <= cliff)) continue
        n++
        sx += di
        sz += dj
        sh += h
        xx += di * di
        xz += di * dj
        zz += dj * dj
        xh += di * h
        zh += dj * h
      }
      if (n < 3) continue
      const cxx = xx - (sx * sx) / n
      const cxz = xz - (sx * sz) / n
      const czz = zz - (sz * sz) / n
      const cxh = xh - (sx * sh) / n
      const czh = zh - (sz * sh) / n
      const det = cxx * czz - cxz * cxz
      if (!(det > 1e-9)) continue
      slopeX[j * nx + i] = (cxh * czz - czh * cxz) / det / step
      slopeZ[j * nx + i] = (czh * cxx - cxh * cxz) / det / step
    }
  return { slopeX, slopeZ }
}

/**
 * Height of the surface at (x, z) by the least-squares quadratic through the nodes within `reachMm` (biweight), so that
 * one uneven spot does not decide; every node counts by its `share` as well, all alike when left out. Null where too few nodes are
 * there.
 */
export function heightAt(
  f: HeightField,
  x: number,
  z: number,
  reachMm: number,
  share: (node: number) => number = () => 1,
): number | null {
  const fit = new QuadraticFit()
  const i0 = Math.max(0, Math.ceil((x - reachMm - f.lowX) / f.stepMm))
  const i1 = Math.min(f.nx - 1, Math.floor((x + reachMm - f.lowX) / f.stepMm))
  const j0 = Math.max(0, Math.ceil((z - reachMm - f.lowZ) / f.stepMm))
  const j1 = Math.min(f.nz - 1, Math.floor((z + reachMm - f.lowZ) / f.stepMm))
  let base = Number.NaN
  for (let j = j0; j <= j1; j++)
    for (let i = i0; i <= i1; i++) {
      const h = f.height[j * f.nx + i]!
      const u = (f.lowX + i * f.stepMm - x) / reachMm
      const v = (f.lowZ + j * f.stepMm - z) / reachMm
      const q = u * u + v * v
      if (q >= 1 || Number.isNaN(h)) continue
      if (Number.isNaN(base)) base = h
      const w = (1 - q) * (1 - q) * share(j * f.nx + i)
      fit.add(u, v, h - base, w)
    }
  const quadratic = fit.solve()
  return quadratic === null ? null : quadratic[0]! + base
}
