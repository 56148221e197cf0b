import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, distance, type Vec3 } from '../../src/geometry/vec.ts'

/** A surface with a round bump (hollow where the height is negative) near a place, standing out along a direction (unit), mm. */
export function bumped({ positions, triangles }: Mesh, near: Vec3, out: Vec3, heightMm: number, widthMm: number): Mesh {
  const at = (v: number): Vec3 => [positions[v]!, positions[v + 1]!, positions[v + 2]!]
  let centre = at(0)
  for (let v = 0; v < positions.length; v += 3) if (distance(at(v), near) < distance(centre, near)) centre = at(v)
  const moved = positions.slice()
  for (let v = 0; v < positions.length; v += 3) {
    const share = 1 - (distance(at(v), centre) / (widthMm / 2)) ** 2
    if (share > 0) moved.set(addScaled(at(v), out, heightMm * share * share), v)
  }
  return { positions: moved, triangles }
}
