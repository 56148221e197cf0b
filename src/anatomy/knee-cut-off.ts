import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { dot, scale, sub } from '../geometry/vec.ts'
import { largestFlatEnd, shareOfSection } from './cut-face.ts'
import type { LimbFrame } from './limb.ts'

/** The flat face of a knee that is cut off is as large as the bone just behind it; a flat plateau is a third of it at most. */
const leastShare = 0.6
const behindMm = 5
/** The face lies no farther than this behind where the knee's end was recognised, mm. */
const aboutMm = 20

/**
 * Whether a bone that looks like a whole one ends in a flat face where its knee should be (condyles or plateaus cut off). `sketch` is the
 * bone or its sketch, `limb` as recognised, mm, patient frame.
 */
export function kneeCutOff(bone: BoneMesh, sketch: Mesh, limb: LimbFrame, which: 'femur' | 'tibia'): boolean {
  const kneeward = scale(limb.proximal, which === 'femur' ? -1 : 1)
  const sketched = largestFlatEnd(sketch, kneeward)
  // A sketch of large triangles loses a part of them.
  const face = sketched && sketch !== bone.mesh ? largestFlatEnd(bone.mesh, kneeward) : sketched
  if (face === null || dot(sub(face.point, limb.origin), kneeward) < -aboutMm) return false
  return shareOfSection(bone, face, behindMm) > leastShare
}
