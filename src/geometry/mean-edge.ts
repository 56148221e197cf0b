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
    for (let k = 0; k < 3; k++) {
      const a = 3 * triangles[t + k]!
      const b = 3 * triangles[t + ((k + 1) % 3)]!
      sum += Math.hypot(p[a]! - p[b]!, p[a + 1]! - p[b + 1]!, p[a + 2]! - p[b + 2]!)
      count++
    }
  }
  return count > 0 ? sum / count : 0
}
