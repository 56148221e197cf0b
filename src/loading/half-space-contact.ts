import { fail, ok, type Result } from '../failure.ts'

/** Contact of an elastic half-space solved on a square grid; mm, MPa, N. */
export interface HalfSpaceContact {
  readonly peakMpa: number
  readonly areaMm2: number
  /** Elastic approach of the bodies, mm (for a line contact only up to a constant). */
  readonly approachMm: number
  readonly forceN: number
  readonly steps: number
  readonly pressureMpa: Float64Array
}

export interface HalfSpaceGrid {
  readonly cellMm: number
  readonly columns: number
  readonly rows: number
  /** Gap at each cell's middle, row by row. */
  readonly gapMm: Float64Array
}

/**
 * Presses a body of the given gap on an elastic half-space: constrained conjugate gradients on the pressures, never
 * negative (Polonsky & Keer, Wear 1999;231:206), influence of a uniformly loaded square by Love (Phil Trans R Soc A
 * 1929;228:377). The other end of the scale from a thin layer on a rigid base; `effectiveModulusMpa` is 1/Σ(1−ν²)/E.
 */
export function halfSpaceContact(
  grid: HalfSpaceGrid,
  forceN: number,
  effectiveModulusMpa: number,
): Result<HalfSpaceContact> {
  const a = grid.cellMm / 2
  const influence = (x: number, y: number) => squareInfluence(x, y, a) / (Math.PI * effectiveModulusMpa)
  return solve(grid, forceN, grid.cellMm * grid.cellMm, influence)
}

/** The same for bodies that are equally long along y (plane strain): `forceN` is per mm of length, the grid has one row. */
export function lineHalfSpaceContact(
  grid: HalfSpaceGrid,
  forcePerMm: number,
  effectiveModulusMpa: number,
): Result<HalfSpaceContact> {
  const a = grid.cellMm / 2
  const term = (v: number) => (v === 0 ? 0 : v * Math.log(Math.abs(v)))
  const influence = (x: number) => (-2 / (Math.PI * effectiveModulusMpa)) * (term(x + a) - term(x - a) - 2 * a)
  return solve(grid, forcePerMm, grid.cellMm, influence)
}

const mostSteps = 2000
const tolerance = 1e-9

function solve(
  { cellMm, columns, rows, gapMm }: HalfSpaceGrid,
  forceN: number,
  cellArea: number,
  influence: (x: number, y: number) => number,
): Result<HalfSpaceContact> {
  const count = columns * rows
  if (!(forceN > 0) || count === 0)
    return fail('contact/no-solution', 'Nothing presses the surfaces together.', { place: 'loading.bearing' })
  const table = new Float64Array(count)
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) table[j * columns + i] = influence(i * cellMm, j * cellMm)
  const spread = (p: Float64Array): Float64Array => convolve(p, table, columns, rows)
  let p = new Float64Array(count).fill(forceN / (count * cellArea))
  const direction = new Float64Array(count)
  let sizeBefore = 1
  let conjugate = 0
  let offset = 0
  for (let step = 1; step <= mostSteps; step++) {
    const g = spread(p)
    for (let k = 0; k < count; k++) g[k] = g[k]! + gapMm[k]!
    offset = meanWhere(g, p)
    let size = 0
    for (let k = 0; k < count; k++) {
      g[k] = g[k]! - offset
      if (p[k]! > 0) size += g[k]! * g[k]!
    }
    for (let k = 0; k < count; k++)
      direction[k] = p[k]! > 0 ? g[k]! + conjugate * (size / sizeBefore) * direction[k]! : 0
    sizeBefore = size
    const r = spread(direction)
    const level = meanWhere(r, p)
    let [top, bottom] = [0, 0]
    for (let k = 0; k < count; k++)
      if (p[k]! > 0) {
        top += g[k]! * direction[k]!
        bottom += (r[k]! - level) * direction[k]!
      }
    const along = bottom > 0 ? top / bottom : 0
    const next = new Float64Array(count)
    conjugate = 1
    let total = 0
    for (let k = 0; k < count; k++) {
      const pressed = p[k]! > 0 ? Math.max(0, p[k]! - along * direction[k]!) : 0
      const overlaps = pressed === 0 && g[k]! < 0
      if (overlaps) conjugate = 0
      next[k] = overlaps ? -along * g[k]! : pressed
      total += next[k]! * cellArea
    }
    if (!(total > 0)) break
    let change = 0
    for (let k = 0; k < count; k++) {
      next[k] = (next[k]! * forceN) / total
      change += Math.abs(next[k]! - p[k]!) * cellArea
    }
    p = next
    if (change < tolerance * forceN) return ok(describe(p, cellArea, offset, step))
  }
  return fail('contact/no-solution', 'The half-space contact did not settle.', { place: 'loading.bearing' })
}

function describe(p: Float64Array, cellArea: number, approachMm: number, steps: number): HalfSpaceContact {
  let [peak, cells, total] = [0, 0, 0]
  for (const v of p) {
    if (v > peak) peak = v
    if (v > 0) cells++
    total += v
  }
  return { peakMpa: peak, areaMm2: cells * cellArea, approachMm, forceN: total * cellArea, steps, pressureMpa: p }
}

function meanWhere(values: Float64Array, pressed: Float64Array): number {
  let [sum, count] = [0, 0]
  for (let k = 0; k < values.length; k++)
    if (pressed[k]! > 0) {
      sum += values[k]!
      count++
    }
  return count > 0 ? sum / count : 0
}

/** Sum over all loaded cells of load × influence at their distance. */
function convolve(p: Float64Array, table: Float64Array, columns: number, rows: number): Float64Array {
  const out = new Float64Array(p.length)
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++) {
      const load = p[j * columns + i]!
      if (load === 0) continue
      for (let n = 0; n < rows; n++) {
        const row = Math.abs(n - j) * columns
        const to = n * columns
        for (let m = 0; m < columns; m++) out[to + m] = out[to + m]! + load * table[row + Math.abs(m - i)]!
      }
    }
  return out
}

/** Love's integral of 1/r over a square of half side a, seen from (x, y) in its plane. */
function squareInfluence(x: number, y: number, a: number): number {
  const part = (u: number, v: number, w: number) => {
    const ratio = (v + Math.hypot(u, v)) / (w + Math.hypot(u, w))
    return u === 0 ? 0 : u * Math.log(ratio)
  }
  return part(x + a, y + a, y - a) + part(y + a, x + a, x - a) + part(x - a, y - a, y + a) + part(y - a, x - a, x + a)
}
