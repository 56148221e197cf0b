import { fail, ok, type Result } from '../failure.ts'
import { isClosed } from './closed.ts'
import { type Box, boundingBox, volumeAndCentroid } from './measure.ts'
import type { Mesh } from './mesh.ts'
import { buildTree, type MeshTree } from './tree.ts'
import type { Vec3 } from './vec.ts'

/** Missing patches lie inside the convex hulls of their borders (those that are not flat): volumes err by no more. */
export interface MissingSurface {
  readonly hulls: readonly MeshTree[]
}

/** A bone ready for queries. `mesh` and `tree.mesh` are the same, with triangles in the tree's order. */
export interface BoneMesh {
  readonly mesh: Mesh
  readonly tree: MeshTree
  readonly closed: boolean
  /**
   * Enclosed volume; null when the mesh is open and nothing stands in for its holes. Negative only when wound inward.
   */
  readonly volumeMm3: number | null
  /** What an open surface lacks, where stand-in patches close it; null for a closed one, or one that stays open. */
  readonly missing: MissingSurface | null
  /** Of the solid; of the surface when the mesh is open. */
  readonly centroid: Vec3
  readonly box: Box
}

/**
 * Builds the tree and the whole-bone measures of a welded mesh (mm, patient frame). No triangles, or none with area:
 * `mesh/no-faces`.
 */
export function makeBone(mesh: Mesh): Result<BoneMesh> {
  if (mesh.triangles.length === 0) {
    return fail('mesh/no-faces', 'The mesh has no triangles.', { hint: 'Export the bone as a surface, not as points.' })
  }
  const tree = buildTree(mesh)
  const box = boundingBox(tree.mesh)
  const solid = volumeAndCentroid(tree.mesh, box)
  if (solid.centroid === null) {
    return fail('mesh/no-faces', 'No triangle of the mesh has any area.', { hint: 'Export the bone again.' })
  }
  const closed = isClosed(tree.mesh)
  return ok({
    mesh: tree.mesh,
    tree,
    closed,
    volumeMm3: closed ? solid.volumeMm3 : null,
    missing: null,
    centroid: solid.centroid,
    box,
  })
}
