import { isClosed } from './closed.ts'
import type { Mesh } from './mesh.ts'
import { cross, length, sub, type Vec3 } from './vec.ts'
import { VertexTable } from './vertex-table.ts'
import { weld } from './weld.ts'

/**
 * A closed solid as a file of single-precision triangles can hold it and a reader that welds finds it closed again:
 * coordinates rounded, and where rounding (or a place where the solid touches itself) would make one vertex of several, these are
 * drawn a few roundings into the solid (less than 0.01 mm for a bone). A mesh that is not closed is only rounded.
 */
export function printable(mesh: Mesh): Mesh {
  const positions = Float64Array.from(mesh.positions, Math.fround)
  const rounded = { positions, triangles: mesh.triangles }
  if (!isClosed(mesh)) return rounded
  const reachMm = positions.reduce((most, x) => Math.max(most, Math.abs(x)), 0)
  for (let round = 0; round < 6; round++) {
    if (isClosed(weld(rounded).mesh)) break
    for (const v of sharingPlaces(rounded)) moveInward(mesh, positions, v, reachMm * 2 ** (round - 22))
  }
  return rounded
}

/** Vertices at a place that another vertex has already. */
function sharingPlaces({ positions: p }: Mesh): number[] {
  const table = new VertexTable(p.length / 3)
  const found: number[] = []
  for (let v = 0, places = 0; v < p.length / 3; v++) {
    if (table.add(p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!) < places) found.push(v)
    else places++
  }
  return found
}

function moveInward({ positions: p, triangles }: Mesh, out: Float64Array, vertex: number, byMm: number): void {
  const at = (v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  const normal = [0, 0, 0]
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!]
    if (a !== vertex && b !== vertex && c !== vertex) continue
    cross(sub(at(b), at(a)), sub(at(c), at(a))).forEach((x, axis) => {
      normal[axis]! += x
    })
  }
  const l = length(normal as unknown as Vec3)
  if (!(l > 0)) return
  for (let axis = 0; axis < 3; axis++) {
    const k = 3 * vertex + axis
    out[k] = Math.fround(out[k]! - (byMm * normal[axis]!) / l)
  }
}
