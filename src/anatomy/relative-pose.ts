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
  /** Of the two joint lines in the femoral coronal plane: a shank that was tilted against its thigh opens one side of the joint. */
  convergenceDeg: [-10, 10],
  /** Offset of the tibial from the femoral knee centre. */
  lateralMm: [-15, 15],
  anteriorMm: [-25, 25],
} as const satisfies Record<string, readonly [number, number]>

/** One row of the table that a relative pose is judged by, with the pair's own value. */
export interface PoseCheck {
  readonly id:
    | 'convergence'
    | 'joint-gap-medial'
    | 'joint-gap-lateral'
    | 'offset-lateral'
    | 'offset-anterior'
    | 'flexion'
    | 'varus'
    | 'rotation'
  readonly value: number
  readonly unit: 'deg' | 'mm'
  readonly low: number
  readonly high: number
  readonly within: boolean
}

export interface RelativePose {
  /** The pose is plausible: HKA, JLCA and gaps may be told. */
  readonly shared: boolean
  /** Plain sentence when it is not. */
  readonly reason: string | null
  readonly checks: readonly PoseCheck[]
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
  /** `jlcaLinesDeg` of the pair. */
  readonly convergenceDeg: number
  readonly distalMedial: Vec3
  readonly distalLateral: Vec3
  readonly plateauMedial: Vec3
  readonly plateauLateral: Vec3
}): RelativePose {
  const pose = jointPose(input.femur, input.tibia, input.side)
  const gap = (condyle: Vec3, plateau: Vec3) => dot(sub(condyle, plateau), input.tibia.y)
  const check = (id: PoseCheck['id'], value: number, [low, high]: readonly [number, number]): PoseCheck => ({
    id,
    value,
    unit: id.startsWith('joint') || id.startsWith('offset') ? 'mm' : 'deg',
    low,
    high,
    within: value >= low && value <= high,
  })
  const limits = relativePoseLimits
  const checks = [
    check('joint-gap-medial', gap(input.distalMedial, input.plateauMedial), limits.jointGapMm),
    check('joint-gap-lateral', gap(input.distalLateral, input.plateauLateral), limits.jointGapMm),
    check('convergence', input.convergenceDeg, limits.convergenceDeg),
    check('offset-lateral', pose.lateralMm, limits.lateralMm),
    check('offset-anterior', pose.anteriorMm, limits.anteriorMm),
    check('flexion', pose.flexionDeg, limits.flexionDeg),
    check('varus', pose.varusDeg, limits.varusDeg),
    check('rotation', pose.externalRotationDeg, limits.externalRotationDeg),
  ]
  const wrong = checks.filter(({ within }) => !within)
  return { shared: wrong.length === 0, reason: wrong.length === 0 ? null : refusal(wrong), checks, pose }
}

/** What each row of the table measures, as the middle of a sentence. */
export const poseCheckWords: Readonly<Record<PoseCheck['id'], string>> = {
  'joint-gap-medial': 'the medial joint gap',
  'joint-gap-lateral': 'the lateral joint gap',
  convergence: 'the convergence of the two joint lines',
  'offset-lateral': 'the sideways offset of the knee centres',
  'offset-anterior': 'the front-to-back offset of the knee centres',
  flexion: 'the flexion',
  varus: 'the varus',
  rotation: 'the rotation',
}

/** Bones whose knee centres lie apart are in two frames; those that meet are in one, in a pose no supine knee takes. */
function refusal(wrong: readonly PoseCheck[]): string {
  const apart = wrong.some(({ unit, value, low, high }) => unit === 'mm' && (value < low - 25 || value > high + 25))
  const [{ id, value, unit, low, high }, ...others] = wrong as [PoseCheck, ...PoseCheck[]]
  const sign = unit === 'mm' ? ' mm' : '°'
  const first = `${poseCheckWords[id]} would be ${value.toFixed(1)}${sign} (plausible ${low} to ${high}${sign})`
  const more =
    others.length === 0 ? '' : `, and ${others.length === 1 ? 'another value is' : `${others.length} more are`} beyond`
  return apart
    ? `Femur and tibia do not share one frame: ${first}${more}.`
    : `Femur and tibia lie in no pose of an extended knee: ${first}${more}.`
}
