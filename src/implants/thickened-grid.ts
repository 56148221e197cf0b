import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'

/**
 * A closed solid between two sheets given on the same grid of rows × columns points.
 *
 * `outer(row, column)` and `inner(row, column)` are the two surfaces, mm; seen from outside, rows to the next row and
 * columns to the next column turn counter-clockwise on the outer sheet. `present(row, column)` says whether the cell
 * between (row, column) and (row + 1, column + 1) is filled (all when left out); side walls close every border of the
 * filled region. Points that coincide are welded and triangles that vanish by it are dropped, so a sheet may narrow to
 * a point. Cells that touch at a corner only would give a non-manifold edge: the caller keeps clear of that.
 */
export function thickenedGrid(
  rows: number,
  columns: number,
  outer: (row: number, column: number) => Vec3,
  inner: (row: number, column: number) => Vec3,
  present: (row: number, column: number) => boolean = () => true,
): Mesh {
  const filled = (r: number, c: number) => r >= 0 && c >= 0 && r < rows - 1 && c < columns - 1 && present(r, c)
  const points = new PointTable()
  const grid = (sheet: (row: number, column: number) => Vec3) => {
    const ids = new Int32Array(rows * columns)
    for (let r = 0; r < rows; r++) for (let c = 0; c < columns; c++) ids[r * columns + c] = points.idOf(sheet(r, c))
    return (r: number, c: number) => ids[r * columns + c]!
  }
  const o = grid(outer)
  const i = grid(inner)
  const triangles: number[] = []
  const quad = (a: number, b: number, c: number, d: number) => {
    if (a !== b && b !== c && c !== a) triangles.push(a, b, c)
    if (a !== c && c !== d && d !== a) triangles.push(a, c, d)
  }
  for (let r = 0; r < rows - 1; r++) {
    for (let c = 0; c < columns - 1; c++) {
      if (!filled(r, c)) continue
      quad(o(r, c), o(r + 1, c), o(r + 1, c + 1), o(r, c + 1))
      quad(i(r, c), i(r, c + 1), i(r + 1, c + 1), i(r + 1, c))
      if (!filled(r - 1, c)) quad(o(r, c), o(r, c + 1), i(r, c + 1), i(r, c))
      if (!filled(r + 1, c)) quad(o(r + 1, c + 1), o(r + 1, c), i(r + 1, c), i(r + 1, c + 1))
      if (!filled(r, c - 1)) quad(o(r + 1, c), o(r, c), i(r, c), i(r + 1, c))
      if (!filled(r, c + 1)) quad(o(r, c + 1), o(r + 1, c + 1), i(r + 1, c + 1), i(r, c + 1))
    }
  }
  return points.mesh(triangles)
}

class PointTable {
  readonly #ids = new Map<string, number>()
  readonly #coordinates: number[] = []

  idOf(p: Vec3): number {
    const key = p.map((v) => Math.round(v * 1e7)).join()
    const known = this.#ids.get(key)
    if (known !== undefined) return known
    const id = this.#coordinates.length / 3
    this.#ids.set(key, id)
    this.#coordinates.push(...p)
    return id
  }

  /** Only points that a triangle uses are kept. */
  mesh(triangles: readonly number[]): Mesh {
    const used = new Map<number, number>()
    const positions: number[] = []
    const index = Uint32Array.from(triangles, (old) => {
      const known = used.get(old)
      if (known !== undefined) return known
      const fresh = used.size
      used.set(old, fresh)
      positions.push(this.#coordinates[3 * old]!, this.#coordinates[3 * old + 1]!, this.#coordinates[3 * old + 2]!)
      return fresh
    })
    return { positions: Float64Array.from(positions), triangles: index }
  }
}
