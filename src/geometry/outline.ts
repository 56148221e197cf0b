import type { Mesh } from './mesh.ts'
import { dot, type Vec3 } from './vec.ts'

export type Point2 = readonly [number, number]

/** Where the mesh is looked at from: `u` and `v` are unit, perpendicular, in the mesh's frame; the view is along u × v. */
export interface Projection {
  readonly u: Vec3
  readonly v: Vec3
  /** Added to the projected coordinates, mm. */
  readonly offset: Point2
}

/**
 * Outline of a mesh's shadow: closed loops in (u, v), mm, outer loops counter-clockwise, holes clockwise, within about
 * one cell of the true outline. `cellMm` is the raster's pitch. A mesh without triangles gives no loops.
 */
export function outline(mesh: Mesh, projection: Projection, cellMm: number): Point2[][] {
  if (mesh.triangles.length === 0) return []
  const flat = project(mesh.positions, projection)
  const raster = fill(flat, mesh.triangles, cellMm)
  return traceLoops(raster)
    .filter((loop) => loop.length > 12)
    .map((loop) =>
      thin(smooth(smooth(loop)), 0.2).map(([i, j]): Point2 => [raster.lowU + i * cellMm, raster.lowV + j * cellMm]),
    )
}

interface Raster {
  readonly lowU: number
  readonly lowV: number
  readonly columns: number
  readonly rows: number
  /** 1 where a cell's centre is covered; one empty cell all around. */
  readonly cells: Uint8Array
}

function project(positions: Float64Array, { u, v, offset }: Projection): Float64Array {
  const out = new Float64Array((positions.length / 3) * 2)
  for (let i = 0, k = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i]!, positions[i + 1]!, positions[i + 2]!]
    out[k++] = dot(u, p) + offset[0]
    out[k++] = dot(v, p) + offset[1]
  }
  return out
}

function fill(flat: Float64Array, triangles: Uint32Array, cell: number): Raster {
  let lowU = Infinity
  let lowV = Infinity
  let highU = -Infinity
  let highV = -Infinity
  for (let i = 0; i < flat.length; i += 2) {
    lowU = Math.min(lowU, flat[i]!)
    highU = Math.max(highU, flat[i]!)
    lowV = Math.min(lowV, flat[i + 1]!)
    highV = Math.max(highV, flat[i + 1]!)
  }
  lowU -= 1.5 * cell
  lowV -= 1.5 * cell
  const columns = Math.ceil((highU - lowU) / cell) + 2
  const rows = Math.ceil((highV - lowV) / cell) + 2
  const cells = new Uint8Array(columns * rows)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 2 * triangles[t]!
    const b = 2 * triangles[t + 1]!
    const c = 2 * triangles[t + 2]!
    const corners = [a, b, c].map((k): Point2 => [(flat[k]! - lowU) / cell - 0.5, (flat[k + 1]! - lowV) / cell - 0.5])
    fillTriangle(corners as [Point2, Point2, Point2], columns, cells)
  }
  return { lowU, lowV, columns, rows, cells }
}

/** Corners in units of cells, integers at the cells' centres. */
function fillTriangle([a, b, c]: readonly [Point2, Point2, Point2], columns: number, cells: Uint8Array): void {
  const first = Math.ceil(Math.min(a[1], b[1], c[1]))
  const last = Math.floor(Math.max(a[1], b[1], c[1]))
  for (let row = first; row <= last; row++) {
    let from = Infinity
    let to = -Infinity
    for (const [p, q] of [
      [a, b],
      [b, c],
      [c, a],
    ] as const) {
      if (Math.min(p[1], q[1]) > row || Math.max(p[1], q[1]) < row) continue
      if (p[1] === q[1]) {
        from = Math.min(from, p[0], q[0])
        to = Math.max(to, p[0], q[0])
      } else {
        const x = p[0] + ((row - p[1]) / (q[1] - p[1])) * (q[0] - p[0])
        from = Math.min(from, x)
        to = Math.max(to, x)
      }
    }
    for (let column = Math.ceil(from); column <= to; column++) cells[row * columns + column] = 1
  }
}

/**
 * Walks the border between covered and empty cells with the covered side on the left. Points are the middles of cell
 * sides, in units of cells from the raster's low corner.
 */
function traceLoops({ columns, rows, cells }: Raster): Point2[][] {
  // A border side is named by its start corner and direction: 0 → +u, 1 → +v, 2 → −u, 3 → −v.
  const stepI = [1, 0, -1, 0]
  const stepJ = [0, 1, 0, -1]
  const covered = (i: number, j: number) => i >= 0 && j >= 0 && i < columns && j < rows && cells[j * columns + i] === 1
  const leftOf = (i: number, j: number, d: number): boolean =>
    d === 0 ? covered(i, j) : d === 1 ? covered(i - 1, j) : d === 2 ? covered(i - 1, j - 1) : covered(i, j - 1)
  const rightOf = (i: number, j: number, d: number): boolean =>
    d === 0 ? covered(i, j - 1) : d === 1 ? covered(i, j) : d === 2 ? covered(i - 1, j) : covered(i - 1, j - 1)
  const isBorder = (i: number, j: number, d: number) => leftOf(i, j, d) && !rightOf(i, j, d)
  const walked = new Uint8Array((columns + 1) * (rows + 1))
  const loops: Point2[][] = []
  for (let j = 0; j <= rows; j++) {
    for (let i = 0; i <= columns; i++) {
      if (!isBorder(i, j, 0) || walked[j * (columns + 1) + i]) continue
      const loop: Point2[] = []
      let [ci, cj, d] = [i, j, 0]
      do {
        if (d === 0) walked[cj * (columns + 1) + ci] = 1
        loop.push([ci + stepI[d]! / 2, cj + stepJ[d]! / 2])
        ci += stepI[d]!
        cj += stepJ[d]!
        // Turn right first where two covered cells touch at a corner: they count as joined.
        const turns = [(d + 3) % 4, d, (d + 1) % 4]
        d = turns.find((turn) => isBorder(ci, cj, turn)) ?? d
      } while (ci !== i || cj !== j || d !== 0)
      loops.push(loop)
    }
  }
  return loops
}

const smooth = (loop: readonly Point2[]): Point2[] =>
  loop.map((p, k) => {
    const before = loop[(k + loop.length - 1) % loop.length]!
    const after = loop[(k + 1) % loop.length]!
    return [(before[0] + 2 * p[0] + after[0]) / 4, (before[1] + 2 * p[1] + after[1]) / 4]
  })

/** Drops points that lie within `tolerance` cells of the chord of those kept. */
function thin(loop: readonly Point2[], tolerance: number): Point2[] {
  const kept = new Uint8Array(loop.length)
  const half = Math.floor(loop.length / 2)
  const stack: [number, number][] = [
    [0, half],
    [half, loop.length],
  ]
  kept[0] = 1
  kept[half] = 1
  while (stack.length > 0) {
    const [from, to] = stack.pop()!
    const a = loop[from]!
    const b = loop[to % loop.length]!
    const chord = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1
    let worst = tolerance
    let at = -1
    for (let k = from + 1; k < to; k++) {
      const p = loop[k]!
      const off = Math.abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / chord
      if (off > worst) {
        worst = off
        at = k
      }
    }
    if (at < 0) continue
    kept[at] = 1
    stack.push([from, at], [at, to])
  }
  return loop.filter((_, k) => kept[k] === 1)
}
