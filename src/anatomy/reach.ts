import { type Mesh, usedVertices } from '../geometry/mesh.ts'
import { dot, type Vec3 } from '../geometry/vec.ts'

/** How far a surface reaches from a point along a unit direction, mm (corners of no triangle do not count); 0 where it does not reach beyond it. */
export function reach(mesh: Mesh, from: Vec3, along: Vec3): number {
  const [x, y, z] = along
  const start = dot(from, along)
  let most = 0
  const p = mesh.positions
  const used = usedVertices(mesh)
  for (let v = 0; v < used.length; v++)
    if (used[v] === 1) most = Math.max(most, p[3 * v]! * x + p[3 * v + 1]! * y + p[3 * v + 2]! * z - start)
  return most
}
