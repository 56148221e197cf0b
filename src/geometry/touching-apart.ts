import { bareSurface } from './clip.ts'
import { matchEdges, NON_MANIFOLD, nextHalfEdge } from './edge-match.ts'
import type { Mesh } from './mesh.ts'
import { separateTouching } from './separate.ts'
import { VertexPool } from './vertex-pool.ts'

/**
 * A mesh that touches itself along edges (four, six … triangles at one edge, run along as often one way as the other) as
 * one in which every edge has two triangles: vertices get copies at the same place. Any other mesh comes back as it is.
 */
export function touchingApart(mesh: Mesh): Mesh {
  const { twin, nonManifoldEdges, balanced } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  if (nonManifoldEdges === 0 || !balanced) return mesh
  const touching = new Set<number>()
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== NON_MANIFOLD) continue
    touching.add(mesh.triangles[h]!)
    touching.add(mesh.triangles[nextHalfEdge(h)]!)
  }
  const pool = new VertexPool(mesh)
  const parted = separateTouching(pool, bareSurface(mesh), (vertex) => touching.has(vertex))
  return pool.compact(parted.triangles)
}
