import type { FemurAnatomy } from '../anatomy/terms.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import { support } from '../geometry/query.ts'
import { addScaled, distance, scale, type Vec3 } from '../geometry/vec.ts'
import type { LegAxes } from './leg-axes.ts'
import type { Compartment } from './terms.ts'

/** The point of one condyle that touches first when a plane with this unit normal (into the kept bone) comes from outside. */
export type CondyleSupport = (compartment: Compartment, normal: Vec3) => Vec3 | null

/**
 * Support points of the two condyles, as a caliper reads: the farthest mesh vertex against the normal, on that side of the
 * knee centre, within the distal part of the femur. Points in the patient frame; null where no vertex lies there.
 */
export function condyleSupport(femur: FemurAnatomy, bone: BoneMesh, axes: LegAxes): CondyleSupport {
  const top: Plane = {
    point: addScaled(axes.origin, axes.proximal, distalReachMm(femur)),
    normal: scale(axes.proximal, -1),
  }
  const within: Record<Compartment, readonly Plane[]> = {
    medial: [{ point: axes.origin, normal: scale(axes.lateral, -1) }, top],
    lateral: [{ point: axes.origin, normal: axes.lateral }, top],
  }
  return (compartment, normal) => support(bone.tree, scale(normal, -1), within[compartment])
}

/** Height above the knee centre below which condyles are looked for: 0.12 of the knee-to-hip distance, else 0.6 of the epicondylar width. */
function distalReachMm(femur: FemurAnatomy): number {
  const { hipCentre, epicondyleMedial, epicondyleLateral } = femur.landmarks
  if (hipCentre) return 0.12 * distance(hipCentre.mm, femur.frame.origin)
  if (epicondyleMedial && epicondyleLateral) return 0.6 * distance(epicondyleMedial.mm, epicondyleLateral.mm)
  return 48
}
