import type { Frame } from '../geometry/rigid.ts'
import { dot, sub, type Vec3 } from '../geometry/vec.ts'
import { type JointPose, jointPose } from './joint-pose.ts'
import type { Side } from './terms.ts'

/**
 * What a femur and a tibia lying in one frame may look like, degrees and mm: a supine extended knee, bone surfaces
 * apart by cartilage and menisci. Common practice, no source. Outside any of these the relative pose is refused.
 */
export const relativePoseLimits = {
  flexionDeg: [-15, 35],
  varusDeg: [-25, 25],
  externalRotationDeg: [-30, 40],
  /** Height of each distal condyle point over its plateau point along the tibial Y; negative is overlap. */
  jointGapMm: [-3, 16],
  /** Offset of the tibial from the femoral knee centre. */
  lateralMm: [-15, 15],
  anteriorMm: [-25, 25],
} as const satisfies Record<string, readonly [number, number]>

export interface RelativePose {
  /** The pose is plausible: HKA, JLCA and gaps may be told. */
  readonly shared: boolean
  /** Plain sentence when it is not. */
  readonly reason: string | null
  readonly pose: JointPose
}

/**
 * Whether the two bones plausibly lie in one frame, judged by `relativePoseLimits`. Frames and points in the frame
 * of the files, mm.
 */
export function judgeRelativePose(input: {
  readonly femur: Frame
  readonly tibia: Frame
  readonly side: Side
  readonly distalMedial: Vec3
  readonly distalLateral: Vec3
  readonly plateauMedial: Vec3
  readonly plateauLateral: Vec3
}): RelativePose {
  const pose = jointPose(input.femur, input.tibia, input.side)
  const gap = (condyle: Vec3, plateau: Vec3) => dot(sub(condyle, plateau), input.tibia.y)
  const checks: readonly (readonly [string, number, readonly [number, number], string])[] = [
    ['the medial joint gap', gap(input.distalMedial, input.plateauMedial), relativePoseLimits.jointGapMm, ' mm'],
    ['the lateral joint gap', gap(input.distalLateral, input.plateauLateral), relativePoseLimits.jointGapMm, ' mm'],
    ['the sideways offset of the knee centres', pose.lateralMm, relativePoseLimits.lateralMm, ' mm'],
    ['the front-to-back offset of the knee centres', pose.anteriorMm, relativePoseLimits.anteriorMm, ' mm'],
    ['the flexion', pose.flexionDeg, relativePoseLimits.flexionDeg, '°'],
    ['the varus', pose.varusDeg, relativePoseLimits.varusDeg, '°'],
    ['the rotation', pose.externalRotationDeg, relativePoseLimits.externalRotationDeg, '°'],
  ]
  for (const [what, value, [low, high], sign] of checks)
    if (!(value >= low && value <= high))
      return {
        shared: false,
        reason: `Femur and tibia do not share one frame: ${what} would be ${value.toFixed(1)}${sign} (plausible ${low} to ${high}${sign}).`,
        pose,
      }
  return { shared: true, reason: null, pose }
}
