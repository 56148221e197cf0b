import type { BoneMesh } from '../geometry/bone.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { support } from '../geometry/query.ts'
import { scale, type Vec3 } from '../geometry/vec.ts'
import { cutFaceLoops, keptOutlines, type OutlineOf } from './cut-faces.ts'

/**
 * Greatest thickness of what a cut takes, along its normal, mm (kerf slab included): the farthest point of the bone on its removed
 * side, within the block and on the positive side of every earlier cut. Exact for the mesh: a linear height over a body with flat
 * faces is greatest at one of its corners. 0 where the cut takes nothing.
 */
export function greatestThicknessMm(
  bone: BoneMesh,
  plane: Plane,
  within: readonly Plane[],
  outlineOf: OutlineOf = keptOutlines(bone),
): number {
  const above = (p: Vec3) => 0 - signedDistance(plane, p)
  const top = support(bone.tree, scale(plane.normal, -1), within)
  let most = top === null ? 0 : above(top)
  within.forEach((face, i) => {
    const others = within.filter((_, k) => k !== i)
    for (const p of cutFaceLoops(bone, face, others, outlineOf).flat()) most = Math.max(most, above(p))
  })
  return Math.max(0, most)
}
