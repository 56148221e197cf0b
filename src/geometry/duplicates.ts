import { nextHalfEdge } from './edge-match.ts'

/**
 * Triangles that repeat the three corners of an earlier one, in whatever order, by number. Only triangles that share
 * an edge can; `twin` as `matchEdges` gives it.
 */
export function duplicateTriangles(triangles: Uint32Array, twin: Int32Array): number[] {
  const seen = new Set<string>()
  const duplicates: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    if (!mayRepeat(triangles, twin, t)) continue
    const key = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!].sort((a, b) => a - b).join(' ')
    if (seen.has(key)) duplicates.push(t / 3)
    else seen.add(key)
  }
  return duplicates
}

/** A triangle with a double: across its first edge lies the same third corner, or more than one triangle. */
function mayRepeat(triangles: Uint32Array, twin: Int32Array, t: number): boolean {
  const across = twin[t]!
  if (across < 0) return across !== -1
  return triangles[nextHalfEdge(nextHalfEdge(across))] === triangles[t + 2]
}
