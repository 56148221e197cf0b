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
  const joins = joinsWithin(p, boundaryEdges(triangles, twin), toleranceMm)
  if (joins.size === 0) return mesh
  const number = new Uint32Array(p.length / 3)
  for (let v = 0; v < number.length; v++) number[v] = joins.get(v) ?? v
  return dropUnusedVertices(dropRepeatedCorners({ positions: p, triangles: triangles.map((v) => number[v]!) }).mesh)
}

export type Edge = readonly [from: number, to: number]

/** Edges with one triangle, in the direction in which it runs along them. */
export function boundaryEdges(triangles: Uint32Array, twin: Int32Array): Edge[] {
  const edges: Edge[] = []
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] === BOUNDARY) edges.push([triangles[h]!, triangles[nextHalfEdge(h)]!])
  }
  return edges
}

/** How many of the boundary edges stay, and how many come to lie three or more together, after these joins. */
export function bordersAfter(edges: readonly Edge[], joins: ReadonlyMap<number, number>) {
  const uses = new Map<string, number>()
  for (const [from, to] of edges) {
    const a = joins.get(from) ?? from
    const b = joins.get(to) ?? to
    const key = a < b ? `${a} ${b}` : `${b} ${a}`
    uses.set(key, (uses.get(key) ?? 0) + 1)
  }
  let single = 0
  let crowded = 0
  for (const n of uses.values()) {
    if (n === 1) single++
    else if (n > 2) crowded++
  }
  return { single, crowded }
}

/** For each vertex of these edges that lies within the tolerance of an earlier one: that one. */
export function joinsWithin(p: Float64Array, edges: readonly Edge[], toleranceMm: number): Map<number, number> {
  const neighbours = neighboursOf(edges)
  const cells = new VertexTable(neighbours.size)
  const members: number[][] = []
  const joins = new Map<number, number>()
  const cellOf = (c: number) => Math.floor(c / toleranceMm)
  for (const v of [...neighbours.keys()].sort((a, b) => a - b)) {
    const found = nearEarlier(v)
    if (found >= 0) {
      joins.set(v, found)
      continue
    }
    const cell = cells.add(cellOf(p[3 * v]!), cellOf(p[3 * v + 1]!), cellOf(p[3 * v + 2]!))
    members[cell] ??= []
    members[cell].push(v)
  }
  return joins

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

/** The vertices of the edges, each with the other ends of its edges. */
function neighboursOf(edges: readonly Edge[]): Map<number, number[]> {
  const neighbours = new Map<number, number[]>()
  const put = (a: number, b: number) => {
    const list = neighbours.get(a)
    if (list === undefined) neighbours.set(a, [b])
    else list.push(b)
  }
  for (const [a, b] of edges) {
    put(a, b)
    put(b, a)
  }
  return neighbours
}
