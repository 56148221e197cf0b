import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { dot, scale, sub } from '../geometry/vec.ts'
import { type CutFace, largestFlatEnd, shareOfSection } from './cut-face.ts'
import type { LimbFrame } from './limb.ts'

/** The flat face of a knee that is cut off is as large as the bone just behind it; a flat plateau is a third of it at most. */
const leastShare = 0.6
/** A sketch loses a part of a face: 0.41 and more is left of it on a tibia and a femur cut straight and obliquely; whole ones show 0.02. */
const leastSketchedShare = 0.1
const behindMm = 5
/** The face lies no farther than this behind where the knee's end was recognised, mm. */
const aboutMm = 20

/**
 * Whether a bone that looks like a whole one ends in a flat face where its knee should be (condyles or plateaus cut off). `sketch` is the
 * bone or its sketch, `limb` as recognised, mm, patient frame.
 */
export function kneeCutOff(bone: BoneMesh, sketch: Mesh, limb: LimbFrame, which: 'femur' | 'tibia'): boolean {
  const kneeward = scale(limb.proximal, which === 'femur' ? -1 : 1)
  const isKnee = (face: CutFace | null, share: number): boolean =>
    face !== null &&
    dot(sub(face.point, limb.origin), kneeward) >= -aboutMm &&
    shareOfSection(bone, face, behindMm) > share
  if (sketch === bone.mesh) return isKnee(largestFlatEnd(sketch, kneeward), leastShare)
  return (
    isKnee(largestFlatEnd(sketch, kneeward), leastSketchedShare) &&
    isKnee(largestFlatEnd(bone.mesh, kneeward), leastShare)
  )
}
