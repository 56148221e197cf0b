import type { Mesh } from '../mesh.ts'
import { dropUnusedVertices } from '../weld.ts'

/** The triangles for which `keep` says so, in their order, on the vertices they use. */
export function keepTriangles(mesh: Mesh, keep: (triangle: number) => boolean): Mesh {
  const { triangles } = mesh
  const kept = new Uint32Array(triangles.length)
  let at = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (!keep(t / 3)) continue
    kept[at++] = triangles[t]!
    kept[at++] = triangles[t + 1]!
    kept[at++] = triangles[t + 2]!
  }
  return at === triangles.length
    ? mesh
    : dropUnusedVertices({ positions: mesh.positions, triangles: kept.slice(0, at) })
}
