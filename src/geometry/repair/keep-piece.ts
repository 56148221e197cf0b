import { matchEdges } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { measureShells } from '../shells.ts'
import { keepTriangles } from './keep-triangles.ts'

/** The piece of a mesh that is nth by area, the largest first; an empty mesh where there are fewer. Equal areas: in the order of the file. */
export function keepPiece(mesh: Mesh, rank: number): Mesh {
  const { pieceOf, order } = piecesByArea(mesh)
  const piece = order[rank]?.piece
  return keepTriangles(mesh, (t) => pieceOf[t] === piece)
}

/** The pieces of a mesh by area, the largest first, and which of them each triangle belongs to. */
export function piecesByArea(mesh: Mesh): {
  readonly pieceOf: Uint32Array
  readonly order: readonly { readonly piece: number; readonly areaMm2: number; readonly triangles: number }[]
} {
  const { pieceOf, pieces } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const order = measureShells(mesh, pieceOf, pieces).map(({ areaMm2, triangles, anyTriangle }, piece) => ({
    piece,
    areaMm2,
    triangles,
    anyTriangle,
  }))
  order.sort((a, b) => b.areaMm2 - a.areaMm2 || a.anyTriangle - b.anyTriangle)
  return { pieceOf, order }
}
