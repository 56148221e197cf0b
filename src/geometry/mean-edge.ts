import type { Mesh } from './mesh.ts'

/**
 * Mean length of the edges (mm, each counted once per triangle it borders) of the triangles for which `keep` holds (given
 * the index of the first corner, 3t; all when left out); 0 where there are none.
 */
export function meanEdgeMm({ positions: p, triangles }: Mesh, keep: (first: number) => boolean = () => true): number {
  let sum = 0
  let count = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (!keep(t)) continue
    const i = 3 * triangles[t]!
    const j = 3 * triangles[t + 1]!
    const k = 3 * triangles[t + 2]!
    sum += edge(p, i, j) + edge(p, j, k) + edge(p, k, i)
    count += 3
  }
  return count > 0 ? sum / count : 0
}

/** Between the vertices whose coordinates start at i and j. */
function edge(p: Float64Array, i: number, j: number): number {
  const x = p[i]! - p[j]!
  const y = p[i + 1]! - p[j + 1]!
  const z = p[i + 2]! - p[j + 2]!
  return Math.sqrt(x * x + y * y + z * z)
}
