import type { Mesh } from '../../src/geometry/mesh.ts'
import { add, cross, scale, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'

/** Every vertex moved along its area-weighted normal (outward for a mesh wound outward), mm. */
export function offsetMesh({ positions: p, triangles }: Mesh, mm: number): Mesh {
  const at = (v: number): Vec3 => [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  const normals = Array.from({ length: p.length / 3 }, (): Vec3 => [0, 0, 0])
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!]
    const normal = cross(sub(at(b), at(a)), sub(at(c), at(a)))
    for (const v of [a, b, c]) normals[v] = add(normals[v]!, normal)
  }
  const moved = normals.flatMap((normal, v) => add(at(v), scale(unit(normal), mm)))
  return { positions: Float64Array.from(moved), triangles }
}
