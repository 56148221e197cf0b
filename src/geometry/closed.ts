import type { Mesh } from './mesh.ts'

/**
 * True when every directed edge is there exactly once and its opposite exactly once: closed, manifold along edges,
 * wound one way.
 */
export function isClosed(mesh: Mesh): boolean {
  return mesh.triangles.length > 0 && unmatchedEdges(mesh) === 0
}

/**
 * Number of directed edges that do not have exactly one opposite, or that are there more than once. 0 for a closed
 * mesh and for none at all. Triangles with a repeated vertex count as unmatched.
 */
export function unmatchedEdges(mesh: Mesh): number {
  const { first, ends } = edgesByLowerVertex(mesh)
  let unmatched = 0
  for (let v = 0; v + 1 < first.length; v++) {
    const end = first[v + 1]!
    if (end - first[v]! > MANY_EDGES) {
      unmatched += unmatchedAtHub(ends.subarray(first[v]!, end).sort(), v)
      continue
    }
    for (let k = first[v]!; k < end; k++) {
      const code = ends[k]!
      let same = 0
      let opposite = 0
      for (let l = first[v]!; l < end; l++) {
        if (ends[l] === code) same++
        else if ((ends[l]! ^ code) === 1) opposite++
      }
      if (same !== 1 || opposite !== 1 || code >>> 1 === v) unmatched++
    }
  }
  return unmatched
}

/** From so many edges at one vertex they are sorted rather than each compared with each. */
const MANY_EDGES = 64

/** The same count for the edges of one vertex, sorted, so that those between the same two vertices stand together. */
function unmatchedAtHub(codes: Uint32Array, vertex: number): number {
  let unmatched = 0
  for (let from = 0; from < codes.length; ) {
    const other = codes[from]! >>> 1
    let downward = 0
    let to = from
    for (; to < codes.length && codes[to]! >>> 1 === other; to++) downward += codes[to]! & 1
    if (to - from !== 2 || downward !== 1 || other === vertex) unmatched += to - from
    from = to
  }
  return unmatched
}

/**
 * Directed edges gathered at their lower vertex; each is coded as twice the higher vertex, plus 1 when it runs
 * downward.
 */
function edgesByLowerVertex(mesh: Mesh): { first: Uint32Array; ends: Uint32Array } {
  const { triangles } = mesh
  const vertices = mesh.positions.length / 3
  const first = new Uint32Array(vertices + 1)
  for (let k = 0; k < triangles.length; k += 3) {
    const a = triangles[k]!
    const b = triangles[k + 1]!
    const c = triangles[k + 2]!
    first[Math.min(a, b) + 1]!++
    first[Math.min(b, c) + 1]!++
    first[Math.min(c, a) + 1]!++
  }
  for (let v = 0; v < vertices; v++) first[v + 1]! += first[v]!
  const ends = new Uint32Array(triangles.length)
  const next = first.slice(0, vertices)
  const put = (from: number, to: number): void => {
    if (from < to) ends[next[from]!++] = 2 * to
    else ends[next[to]!++] = 2 * from + 1
  }
  for (let k = 0; k < triangles.length; k += 3) {
    const a = triangles[k]!
    const b = triangles[k + 1]!
    const c = triangles[k + 2]!
    put(a, b)
    put(b, c)
    put(c, a)
  }
  return { first, ends }
}
