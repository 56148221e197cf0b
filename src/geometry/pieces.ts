import { Groups } from './groups.ts'
import type { Mesh } from './mesh.ts'

/**
 * Pieces of a surface that share no corner, numbered from 0 in order of their first triangle, and the number of each triangle's. Quicker than by
 * shared edges (`matchEdges`), which tells two pieces apart that touch at a corner.
 */
export function piecesByCorners({ positions, triangles }: Mesh): {
  readonly pieceOf: Uint32Array
  readonly pieces: number
} {
  const groups = new Groups(positions.length / 3)
  for (let t = 0; t < triangles.length; t += 3) {
    groups.join(triangles[t]!, triangles[t + 1]!)
    groups.join(triangles[t + 1]!, triangles[t + 2]!)
  }
  const numberOf = new Int32Array(positions.length / 3).fill(-1)
  const pieceOf = new Uint32Array(triangles.length / 3)
  let pieces = 0
  for (let t = 0; t < pieceOf.length; t++) {
    const root = groups.root(triangles[3 * t]!)
    if (numberOf[root]! < 0) numberOf[root] = pieces++
    pieceOf[t] = numberOf[root]!
  }
  return { pieceOf, pieces }
}
