import { BOUNDARY, matchEdges, nextHalfEdge } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { VertexTable } from '../vertex-table.ts'
import { dropRepeatedCorners, dropUnusedVertices } from '../weld.ts'

/**
 * Joins vertices on boundary edges that lie closer than `toleranceMm` to an earlier one, which closes cracks and
 * leaves the rest of the surface alone. Ends of one edge are never joined. Each joined vertex takes the place of the
 * earlier one.
 */
export function weldBoundary(mesh: Mesh, toleranceMm: number): Mesh {
  const { positions: p, triangles } = mesh
  const { twin } = matchEdges(triangles, p.length / 3)
  const neighbours = boundaryNeighbours(triangles, twin)
  const cells = new VertexTable(neighbours.size)
  const members: number[][] = []
  const number = Uint32Array.from({ length: p.length / 3 }, (_, v) => v)
  const cellOf = (c: number) => Math.floor(c / toleranceMm)
  for (const v of [...neighbours.keys()].sort((a, b) => a - b)) {
    const x = p[3 * v]!
    const y = p[3 * v + 1]!
    const z = p[3 * v + 2]!
    const found = nearEarlier(v)
    if (found >= 0) {
      number[v] = found
      continue
    }
    const cell = cells.add(cellOf(x), cellOf(y), cellOf(z))
    members[cell] ??= []
    members[cell].push(v)
  }
  const joined = dropRepeatedCorners({ positions: p, triangles: triangles.map((v) => number[v]!) }).mesh
  return dropUnusedVertices(joined)

  function nearEarlier(v: number): number {
    let best = -1
    let least = toleranceMm
    for (let k = 0; k < 27; k++) {
      const cell = cells.find(
        cellOf(p[3 * v]!) + (k % 3) - 1,
        cellOf(p[3 * v + 1]!) + (Math.floor(k / 3) % 3) - 1,
        cellOf(p[3 * v + 2]!) + Math.floor(k / 9) - 1,
      )
      for (const w of cell < 0 ? [] : members[cell]!) {
        const d = Math.hypot(p[3 * v]! - p[3 * w]!, p[3 * v + 1]! - p[3 * w + 1]!, p[3 * v + 2]! - p[3 * w + 2]!)
        if (d <= least && !neighbours.get(v)!.includes(w)) {
          best = w
          least = d
        }
      }
    }
    return best
  }
}

/** Vertices on boundary edges, each with the other ends of those edges. */
function boundaryNeighbours(triangles: Uint32Array, twin: Int32Array): Map<number, number[]> {
  const neighbours = new Map<number, number[]>()
  const put = (a: number, b: number) => {
    const list = neighbours.get(a)
    if (list === undefined) neighbours.set(a, [b])
    else list.push(b)
  }
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== BOUNDARY) continue
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    put(a, b)
    put(b, a)
  }
  return neighbours
}
