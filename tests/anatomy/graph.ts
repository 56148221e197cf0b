import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'

/** The graph y(x, z) over a rectangle, triangulated with a jittered step so that no vertex lies on a crest. */
export function graph(height: (x: number, z: number) => number, half: number, step: number): Mesh {
  const n = Math.round((2 * half) / step)
  const random = seededRandom(5)
  const positions = new Float64Array(3 * (n + 1) * (n + 1))
  const triangles = new Uint32Array(6 * n * n)
  for (let j = 0; j <= n; j++)
    for (let i = 0; i <= n; i++) {
      const inside = i > 0 && j > 0 && i < n && j < n
      const x = -half + (i + (inside ? 0.6 * random() - 0.3 : 0)) * step
      const z = -half + (j + (inside ? 0.6 * random() - 0.3 : 0)) * step
      positions.set([x, height(x, z), z], 3 * (j * (n + 1) + i))
    }
  for (let j = 0; j < n; j++)
    for (let i = 0; i < n; i++) {
      const a = j * (n + 1) + i
      triangles.set([a, a + n + 1, a + 1, a + 1, a + n + 1, a + n + 2], 6 * (j * n + i))
    }
  return { positions, triangles }
}
