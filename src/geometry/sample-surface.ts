import { corners } from './measure.ts'
import type { Mesh } from './mesh.ts'
import { seededRandom } from './random.ts'
import { cross, length, scale, sub, type Vec3 } from './vec.ts'

/** A point of a surface with its outward unit normal, mm. */
export interface SurfacePoint {
  readonly point: Vec3
  readonly normal: Vec3
}

/**
 * `count` points spread over a surface by area, seeded: one at a random place in each of `count` equal shares of the area in the
 * order of the triangles. A mesh without area gives none.
 */
export function sampleSurface(mesh: Mesh, count: number, seed: number): readonly SurfacePoint[] {
  const n = mesh.triangles.length / 3
  const upTo = new Float64Array(n)
  let total = 0
  for (let t = 0; t < n; t++) {
    const [a, b, c] = corners(mesh, t)
    total += length(cross(sub(b, a), sub(c, a))) / 2
    upTo[t] = total
  }
  if (!(total > 0)) return []
  const random = seededRandom(seed)
  const points: SurfacePoint[] = []
  let t = 0
  for (let k = 0; k < count; k++) {
    const at = ((k + random()) / count) * total
    while (t < n - 1 && upTo[t]! < at) t++
    const [a, b, c] = corners(mesh, t)
    const [ab, ac] = [sub(b, a), sub(c, a)]
    const doubled = cross(ab, ac)
    const l = length(doubled)
    // Folding the unit square over its diagonal spreads points evenly over the triangle.
    const [u, v] = folded(random(), random())
    if (!(l > 0)) continue
    points.push({
      point: [a[0] + u * ab[0] + v * ac[0], a[1] + u * ab[1] + v * ac[1], a[2] + u * ab[2] + v * ac[2]],
      normal: scale(doubled, 1 / l),
    })
  }
  return points
}

const folded = (u: number, v: number): readonly [number, number] => (u + v > 1 ? [1 - u, 1 - v] : [u, v])
