import { Groups } from './groups.ts'

/** Which triangle edges meet. Half-edge 3t + k of triangle t runs from its corner k to corner (k + 1) mod 3. */
export interface EdgeMatch {
  /**
   * Per half-edge: the half-edge of the other triangle on the same edge when exactly two meet there (in either
   * direction), `BOUNDARY` where the edge has one triangle, `NON_MANIFOLD` where it has three or more.
   */
  readonly twin: Int32Array
  /** Edges with one triangle. */
  readonly boundaryEdges: number
  /** Edges with three or more triangles. */
  readonly nonManifoldEdges: number
  /** Edges whose two triangles run along them in the same direction: one of the two is turned over. */
  readonly flippedEdges: number
  /** Whether every edge is run along as often one way as the other, so that the surface bounds a volume. */
  readonly balanced: boolean
  /** Per triangle: the number of its piece, from 0; triangles that share an edge are of one piece. */
  readonly pieceOf: Uint32Array
  readonly pieces: number
}

export const BOUNDARY = -1
export const NON_MANIFOLD = -2

/** The next half-edge of the same triangle. */
export const nextHalfEdge = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)

/**
 * Matches the edges of triangles that name `vertexCount` vertices, in time linear in their number: half-edges are
 * sorted by their lower vertex, and within one vertex matched by the other.
 */
export function matchEdges(triangles: Uint32Array, vertexCount: number): EdgeMatch {
  const twin = new Int32Array(triangles.length).fill(BOUNDARY)
  const { slots, starts } = halfEdgesByLowerVertex(triangles, vertexCount)
  const first = new Int32Array(vertexCount).fill(-1)
  const uses = new Int32Array(vertexCount)
  const net = new Int32Array(vertexCount)
  const groups = new Groups(triangles.length / 3)
  let boundaryEdges = 0
  let nonManifoldEdges = 0
  let flippedEdges = 0
  let balanced = true
  for (let v = 0; v < vertexCount; v++) {
    const from = starts[v]!
    const to = starts[v + 1]!
    for (let i = from; i < to; i++) {
      const h = slots[i]!
      const a = triangles[h]!
      const b = triangles[nextHalfEdge(h)]!
      const other = a === v ? b : a
      const earlier = first[other]!
      if (earlier < 0) {
        first[other] = h
        uses[other] = 1
        net[other] = a === v ? 1 : -1
        continue
      }
      uses[other]!++
      net[other]! += a === v ? 1 : -1
      if (uses[other] === 2) {
        twin[h] = earlier
        twin[earlier] = h
      }
      groups.join(Math.floor(h / 3), Math.floor(earlier / 3))
    }
    for (let i = from; i < to; i++) {
      const h = slots[i]!
      const a = triangles[h]!
      const other = a === v ? triangles[nextHalfEdge(h)]! : a
      const n = uses[other]!
      if (n > 2) twin[h] = NON_MANIFOLD
      if (first[other] !== h) continue
      if (n === 1) boundaryEdges++
      else if (n > 2) nonManifoldEdges++
      else if (net[other] !== 0) flippedEdges++
      if (net[other] !== 0) balanced = false
    }
    for (let i = from; i < to; i++) {
      const h = slots[i]!
      const a = triangles[h]!
      first[a === v ? triangles[nextHalfEdge(h)]! : a] = -1
    }
  }
  return { twin, boundaryEdges, nonManifoldEdges, flippedEdges, balanced, ...groups.numbered() }
}

function halfEdgesByLowerVertex(triangles: Uint32Array, vertexCount: number) {
  const starts = new Uint32Array(vertexCount + 1)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!
    const b = triangles[t + 1]!
    const c = triangles[t + 2]!
    starts[Math.min(a, b) + 1]!++
    starts[Math.min(b, c) + 1]!++
    starts[Math.min(c, a) + 1]!++
  }
  for (let v = 0; v < vertexCount; v++) starts[v + 1]! += starts[v]!
  const at = starts.slice(0, vertexCount)
  const slots = new Uint32Array(triangles.length)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!
    const b = triangles[t + 1]!
    const c = triangles[t + 2]!
    slots[at[Math.min(a, b)]!++] = t
    slots[at[Math.min(b, c)]!++] = t + 1
    slots[at[Math.min(c, a)]!++] = t + 2
  }
  return { slots, starts }
}
