import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { directionOutOfLimb, intoLimb, type LimbFrame, outOfLimb } from './limb.ts'
import { type Flat, largestLoop } from './tibial-contours.ts'

/** The bone's largest outline in a plane given in limb coordinates, mm, seen along Y; null where the plane meets no closed one. */
export function contourIn(bone: BoneMesh, limb: LimbFrame, plane: Plane): readonly Flat[] | null {
  const cut = section(bone.tree, {
    point: outOfLimb(limb, plane.point),
    normal: directionOutOfLimb(limb, plane.normal),
  })
  return largestLoop(
    cut.loops.map((loop) =>
      loop.map((p): Flat => {
        const q = intoLimb(limb, p)
        return [q[0], q[2]]
      }),
    ),
  )
}
