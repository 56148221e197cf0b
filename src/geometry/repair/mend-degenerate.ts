import { matchEdges, nextHalfEdge } from '../edge-match.ts'
import { degenerateTriangles } from '../health.ts'
import type { Mesh } from '../mesh.ts'

/**
 * Removes triangles without area by flipping their longest edge with the neighbour across it: the neighbour is then
 * divided at the middle corner, so that no crack is left. Where a flip is not possible (a border, an edge that is there
 * already) the triangle stays. Several passes, as one flip may allow the next.
 */
export function mendDegenerate(mesh: Mesh): Mesh {
  const triangles = mesh.triangles.slice()
  const current = { positions: mesh.positions, triangles }
  for (let pass = 0; pass < 10; pass++) {
    const { twin } = matchEdges(triangles, mesh.positions.length / 3)
    const touched = new Set<number>()
    let flips = 0
    const flat = degenerateTriangles(current)
    if (flat.length === 0) break
    const neighbours = neighboursOf(triangles, flat)
    for (const t of flat) {
      const h = longestEdge(current, t)
      const across = twin[h]!
      if (across < 0) continue
      const u = Math.floor(across / 3)
      if (touched.has(t) || touched.has(u) || triangles[h] !== triangles[nextHalfEdge(across)]) continue
      const apex = triangles[nextHalfEdge(nextHalfEdge(h))]!
      const far = triangles[nextHalfEdge(nextHalfEdge(across))]!
      if (apex === far || neighbours.get(apex)!.has(far)) continue
      const a = triangles[h]!
      const b = triangles[nextHalfEdge(h)]!
      triangles.set([a, far, apex], 3 * t)
      triangles.set([far, b, apex], 3 * u)
      neighbours.get(apex)!.add(far)
      neighbours.get(far)?.add(apex)
      touched.add(t)
      touched.add(u)
      flips++
    }
    if (flips === 0) break
  }
  return current
}

function longestEdge({ positions: p, triangles }: Mesh, t: number): number {
  let best = 3 * t
  let longest = -1
  for (let h = 3 * t; h < 3 * t + 3; h++) {
    const a = 3 * triangles[h]!
    const b = 3 * triangles[nextHalfEdge(h)]!
    const length = Math.hypot(p[a]! - p[b]!, p[a + 1]! - p[b + 1]!, p[a + 2]! - p[b + 2]!)
    if (length > longest) {
      best = h
      longest = length
    }
  }
  return best
}

/** Vertices joined by an edge to one of the corners of these triangles. */
function neighboursOf(triangles: Uint32Array, some: readonly number[]): Map<number, Set<number>> {
  const neighbours = new Map<number, Set<number>>()
  for (const t of some) for (let k = 0; k < 3; k++) neighbours.set(triangles[3 * t + k]!, new Set())
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    neighbours.get(a)?.add(b)
    neighbours.get(b)?.add(a)
  }
  return neighbours
}
