import { matchEdges } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { measureShells } from '../shells.ts'
import { keepTriangles } from './keep-triangles.ts'

/** Drops pieces whose area is under `belowAreaFraction` (0…1) of the largest piece's area. The largest always stays. */
export function dropIslands(mesh: Mesh, belowAreaFraction: number): Mesh {
  const { pieceOf, pieces } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const shells = measureShells(mesh, pieceOf, pieces)
  const least = Math.min(1, belowAreaFraction) * Math.max(0, ...shells.map((s) => s.areaMm2))
  return keepTriangles(mesh, (t) => shells[pieceOf[t]!]!.areaMm2 >= least)
}
