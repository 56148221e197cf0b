import { type BoundaryLoop, boundaryLoops } from './boundary.ts'
import { duplicateTriangles } from './duplicates.ts'
import { type EdgeMatch, matchEdges } from './edge-match.ts'
import type { Mesh } from './mesh.ts'
import { doubledShells } from './overlaps.ts'
import { enclosingShells, measureShells, type Shell } from './shells.ts'

/**
 * `outward`: closed, every shell wound outward, cavities inside one the other way; `inward`: the same turned inside
 * out; `mixed`: neighbours or shells disagree; `open`: edges with one triangle, so that there is no inside.
 */
export type Orientation = 'outward' | 'inward' | 'mixed' | 'open'

/** What is wrong, or right, with a surface. */
export interface MeshHealth {
  /** Edges with one triangle. */
  readonly boundaryEdges: number
  /** Edges with three or more triangles. */
  readonly nonManifoldEdges: number
  /** Edges whose two triangles disagree about the side that is out. */
  readonly flippedEdges: number
  readonly orientation: Orientation
  /** Parts that share no edge with each other. */
  readonly pieces: number
  /** Triangles that repeat the corners of another. */
  readonly duplicateTriangles: number
  /** Triangles without area: a corner named twice, or three corners on a line. */
  readonly degenerateTriangles: number
  /** Every edge has exactly two triangles, which agree about the side that is out; there are triangles. */
  readonly closed: boolean
  /** Every edge is run along as often each way: a volume is defined even if edges are shared by four triangles. */
  readonly balanced: boolean
  /** Closed shells that lie inside another and are wound outward like it: what they enclose counts twice. */
  readonly doubledShells: number
  readonly boundaryLoops: readonly BoundaryLoop[]
  /** One entry per piece. */
  readonly shells: readonly Shell[]
}

/** Examines a welded mesh. No triangles: everything 0, not closed, orientation `open`. */
export function meshHealth(mesh: Mesh): MeshHealth {
  const edges = matchEdges(mesh.triangles, mesh.positions.length / 3)
  return healthFromEdges(mesh, edges)
}

/** The same, for callers that have matched the edges already. */
export function healthFromEdges(mesh: Mesh, edges: EdgeMatch): MeshHealth {
  const { boundaryEdges, nonManifoldEdges, flippedEdges, balanced, pieces, twin, pieceOf } = edges
  const shells = measureShells(mesh, pieceOf, pieces)
  const closed = mesh.triangles.length > 0 && boundaryEdges + nonManifoldEdges + flippedEdges === 0
  return {
    boundaryEdges,
    nonManifoldEdges,
    flippedEdges,
    orientation: orientation(mesh, edges, shells),
    pieces,
    duplicateTriangles: duplicateTriangles(mesh.triangles, twin).length,
    degenerateTriangles: degenerateTriangles(mesh).length,
    closed,
    balanced: balanced && mesh.triangles.length > 0,
    doubledShells: doubledShells(mesh, edges).length,
    boundaryLoops: boundaryEdges === 0 ? [] : boundaryLoops(mesh, twin),
    shells,
  }
}

/** Triangles without area, by number: a corner named twice, or a height under 1e-12 of the longest side. */
export function degenerateTriangles(mesh: Mesh): number[] {
  const { positions: p, triangles } = mesh
  const found: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const ux = p[b]! - p[a]!
    const uy = p[b + 1]! - p[a + 1]!
    const uz = p[b + 2]! - p[a + 2]!
    const vx = p[c]! - p[a]!
    const vy = p[c + 1]! - p[a + 1]!
    const vz = p[c + 2]! - p[a + 2]!
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    const longest = Math.max(ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz)
    if (nx * nx + ny * ny + nz * nz <= 1e-24 * longest * longest) found.push(t / 3)
  }
  return found
}

/** Above this many closed shells, containment is not looked into and disagreeing shells are called mixed. */
const MOST_SHELLS = 200

function orientation(mesh: Mesh, edges: EdgeMatch, shells: readonly Shell[]): Orientation {
  if (edges.boundaryEdges > 0 || shells.length === 0) return 'open'
  if (edges.flippedEdges > 0 || !edges.balanced) return 'mixed'
  if (shells.every((s) => s.signedVolumeMm3 > 0)) return 'outward'
  if (shells.every((s) => s.signedVolumeMm3 <= 0)) return 'inward'
  if (shells.length > MOST_SHELLS) return 'mixed'
  const signs = new Set(
    shells.map((shell, i) => {
      const depth = enclosingShells(mesh, edges.pieceOf, shells, i)
      return shell.signedVolumeMm3 > 0 === (depth % 2 === 0)
    }),
  )
  if (signs.size === 2) return 'mixed'
  return signs.has(true) ? 'outward' : 'inward'
}
