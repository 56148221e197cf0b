import { ok, type Result } from '../failure.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { splitCapped } from './split.ts'
import type { Surface } from './surface.ts'
import { VertexPool } from './vertex-pool.ts'

export interface Clipped {
  /** The positive side, capped. May have no triangles. */
  readonly kept: Mesh
  /** The negative side, capped. May have no triangles. */
  readonly removed: Mesh
}

/**
 * Cuts a closed mesh into two closed, capped solids (plane in the mesh's frame, unit normal into the kept side).
 * Vertices nearer to the plane than rounding are taken to lie in it, and cut points there are those vertices
 * themselves. A face in the plane belongs to the side that has the solid. A plane that misses gives the whole on one
 * side and a mesh without triangles on the other. An open mesh may be cut clear of its holes, which its parts then
 * keep; through a hole there is no cap: `cut/touches-open-boundary`.
 */
export function clip(mesh: Mesh, plane: Plane): Result<Clipped> {
  const pool = new VertexPool(mesh)
  const split = splitCapped(pool, bareSurface(mesh), plane, 1)
  if (!split.ok) return split
  const { positive, negative } = split.value
  const parts = { kept: pool.compact(positive.triangles), removed: pool.compact(negative.triangles) }
  positive.release()
  negative.release()
  return ok(parts)
}

/** The mesh's triangles as an untagged surface. */
export function bareSurface(mesh: Mesh): Surface {
  const { triangles } = mesh
  return {
    triangles: new Int32Array(triangles.buffer, triangles.byteOffset, triangles.length),
    tags: new Uint8Array(triangles.length / 3),
    release: () => {},
  }
}
