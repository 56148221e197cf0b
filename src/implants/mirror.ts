import type { Mesh } from '../geometry/mesh.ts'
import { flipWinding } from '../geometry/transform.ts'

/** The mirror image across z = 0 with winding turned: a left component from the right-leg form. */
export function mirrorAcrossZ(mesh: Mesh): Mesh {
  const positions = mesh.positions.slice()
  for (let i = 2; i < positions.length; i += 3) positions[i] = -positions[i]!
  return { positions, triangles: flipWinding(mesh.triangles) }
}
