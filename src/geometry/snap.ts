import { boundingBox } from './measure.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import type { MeshTree } from './tree.ts'
import { dot } from './vec.ts'

/**
 * Distance from a plane, mm, below which a vertex counts as lying in it: what rounding of float64 coordinates cannot
 * tell from zero, so that a face turned with its bone stays in the plane it was in.
 * @param reachMm largest coordinate of the mesh
 */
export function snapDistance(reachMm: number, plane: Plane): number {
  return 4e-15 * (3 * reachMm + Math.abs(dot(plane.normal, plane.point)))
}

/** Largest coordinate under a tree, mm; 0 when it is empty. */
export function reachOfTree({ boxes, nodeCount }: MeshTree): number {
  if (nodeCount === 0) return 0
  return Math.max(Math.abs(boxes[0]!) + boxes[3]!, Math.abs(boxes[1]!) + boxes[4]!, Math.abs(boxes[2]!) + boxes[5]!)
}

/** Largest coordinate of a mesh, mm; 0 when it is empty. */
export function reachOfMesh(mesh: Mesh): number {
  const { min, max } = boundingBox(mesh)
  return Math.max(...min.map(Math.abs), ...max.map(Math.abs))
}
