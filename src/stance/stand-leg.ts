import { tibiaFromPose } from '../anatomy/joint-pose.ts'
import { type Side, sideFactor } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import {
  compose,
  inverse,
  type Mat3,
  mapPoint,
  mapVector,
  multiply,
  type Rigid,
  rotate,
  rotationAbout,
} from '../geometry/rigid.ts'
import { add, cross, dot, length, scale, sub, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'

/** One leg as the stance sees it: two lengths and the angles of the knee between them. mm and degrees. */
export interface Limb {
  readonly side: Side
  /** Hip centre in the femur's own frame, mm (on its Y axis when that axis runs through the hip). */
  readonly hipInFemur: Vec3
  /** Ankle centre in the tibia's own frame, mm. */
  readonly ankleInTibia: Vec3
  /** Coronal limb deviation, varus positive. */
  readonly varusDeg: number
  readonly flexionDeg: number
  readonly externalRotationDeg: number
}

/** Where the hip and the ankle have to be, and which way the knee faces. mm and degrees. */
export interface Footing {
  readonly hipHalfSpacingMm: number
  readonly ankleHalfSpacingMm: number
  /** External rotation of the knee axis from facing straight forward. */
  readonly footRotationDeg: number
  /** Height of the ankle centre above the floor; moves the drawing, changes no angle. */
  readonly ankleHeightMm: number
}

/** A standing leg. Points and directions in the stance frame: X anterior, Y up, Z right, floor y = 0, mid-line z = 0. */
export interface StandingLeg {
  readonly side: Side
  readonly hip: Vec3
  readonly knee: Vec3
  readonly ankle: Vec3
  /** From the femur's and the tibia's own frames (not the files' frames). */
  readonly stanceFromFemurFrame: Rigid
  readonly stanceFromTibiaFrame: Rigid
  /** Lean of the hip–ankle line, of the femur and of the tibia to the vertical, top lateral positive, degrees. */
  readonly legLeanDeg: number
  readonly femurLeanDeg: number
  readonly tibiaLeanDeg: number
  /** Sagittal lean of the tibia, top forward positive, degrees. */
  readonly tibiaForwardLeanDeg: number
  /** Hip–ankle distance, mm. */
  readonly legLengthMm: number
  /** Distance of the knee centre from the hip–ankle line in the frontal plane, lateral positive, mm. */
  readonly kneeOffsetMm: number
}

/**
 * Stands one leg: both knee centres brought together, the tibia posed by the joint coordinate system, the hip plumb
 * above the ankle in the sagittal plane and `hip − ankle` half spacing beside it in the frontal plane, the femoral
 * knee axis facing forward (turned out by the foot rotation). Fails (`stance/degenerate`) where the leg is too short
 * for the spacing or no heading satisfies the knee axis.
 */
export function standLeg(limb: Limb, footing: Footing): Result<StandingLeg> {
  const s = sideFactor(limb.side)
  const femurFromTibia = inverse(tibiaFromPose(kneeTogether(limb), limb.side))
  const ankleInFemur = mapPoint(femurFromTibia, limb.ankleInTibia)
  const reach = sub(limb.hipInFemur, ankleInFemur)
  const span = length(reach)
  const sideways = footing.hipHalfSpacingMm - footing.ankleHalfSpacingMm
  if (!(span > Math.abs(sideways)) || !Number.isFinite(span + sideways))
    return fail('stance/degenerate', 'The leg is too short to reach from this hip to this ankle spacing.', {
      hint: 'Check the hip and ankle centres and the half spacings.',
      place: 'stance',
    })
  const up = Math.sqrt(span * span - sideways * sideways)
  const reachInStance: Vec3 = [0, up, s * sideways]
  const rotation = headingRotation(reach, reachInStance, facing(footing.footRotationDeg, s))
  if (!rotation)
    return fail('stance/degenerate', 'No standing position lets the knee face this way.', {
      hint: 'Use a smaller foot rotation or flexion.',
      place: 'stance.footRotationDeg',
    })
  const ankle: Vec3 = [0, footing.ankleHeightMm, s * footing.ankleHalfSpacingMm]
  const turned: Rigid = { rotation, translation: [0, 0, 0] }
  const stanceFromFemurFrame: Rigid = { rotation, translation: sub(ankle, mapPoint(turned, ankleInFemur)) }
  const stanceFromTibiaFrame = compose(stanceFromFemurFrame, femurFromTibia)
  const femurAxis = mapVector(stanceFromFemurFrame, unit(limb.hipInFemur))
  const tibiaAxis = mapVector(stanceFromTibiaFrame, unit(scale(limb.ankleInTibia, -1)))
  const hip = mapPoint(stanceFromFemurFrame, limb.hipInFemur)
  const knee = mapPoint(stanceFromFemurFrame, [0, 0, 0])
  return ok({
    side: limb.side,
    hip,
    knee,
    ankle,
    stanceFromFemurFrame,
    stanceFromTibiaFrame,
    legLeanDeg: leanDeg(reachInStance, s),
    femurLeanDeg: leanDeg(femurAxis, s),
    tibiaLeanDeg: leanDeg(tibiaAxis, s),
    tibiaForwardLeanDeg: toDeg(Math.atan2(tibiaAxis[0], tibiaAxis[1])),
    legLengthMm: span,
    kneeOffsetMm: frontalOffset(hip, ankle, knee, s),
  })
}

const kneeTogether = (limb: Limb) => ({
  flexionDeg: limb.flexionDeg,
  varusDeg: limb.varusDeg,
  externalRotationDeg: limb.externalRotationDeg,
  lateralMm: 0,
  anteriorMm: 0,
  proximalMm: 0,
})

const leanDeg = (proximal: Vec3, s: number): number => toDeg(Math.atan2(s * proximal[2], proximal[1]))

const facing = (footRotationDeg: number, s: number): Vec3 => [
  Math.cos(toRad(footRotationDeg)),
  0,
  s * Math.sin(toRad(footRotationDeg)),
]

function frontalOffset(hip: Vec3, ankle: Vec3, knee: Vec3, s: number): number {
  const along = unit([0, hip[1] - ankle[1], hip[2] - ankle[2]])
  return dot(sub(knee, ankle), [0, -s * along[2], s * along[1]])
}

/**
 * The rotation that carries `reach` onto `target` (same length) and leaves the image of the knee axis Z without a
 * part along `forward`; of the two such rotations the one whose X looks forward. Null when none exists.
 */
function headingRotation(reach: Vec3, target: Vec3, forward: Vec3): Mat3 | null {
  const axis = unit(target)
  const start = carry(unit(reach), axis)
  const z = rotate(start, [0, 0, 1])
  const along = scale(axis, dot(z, axis))
  const across = sub(z, along)
  const third = cross(axis, across)
  const a = dot(along, forward)
  const b = dot(across, forward)
  const c = dot(third, forward)
  const size = Math.hypot(b, c)
  if (size < 1e-9 || Math.abs(a) > size) return null
  const middle = Math.atan2(c, b)
  const half = Math.acos(Math.max(-1, Math.min(1, -a / size)))
  const candidates = [middle + half, middle - half].map((turn) => multiply(rotationAbout(axis, turn), start))
  const ahead = candidates.map((m) => dot(rotate(m, [1, 0, 0]), forward))
  return ahead[0] >= ahead[1] ? candidates[0] : candidates[1]
}

/** The shortest rotation that carries the unit vector a onto the unit vector b, as a matrix. */
function carry(a: Vec3, b: Vec3): Mat3 {
  const c = dot(a, b)
  const v = cross(a, b)
  if (c < -1 + 1e-12) {
    const p = unit(cross(a, Math.abs(a[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0]))
    return fromColumns((e) => sub(scale(p, 2 * dot(p, e)), e))
  }
  const k = 1 / (1 + c)
  return fromColumns((e) => add(add(scale(e, c), cross(v, e)), scale(v, k * dot(v, e))))
}

function fromColumns(image: (e: Vec3) => Vec3): Mat3 {
  const x = image([1, 0, 0])
  const y = image([0, 1, 0])
  const z = image([0, 0, 1])
  return [x[0], y[0], z[0], x[1], y[1], z[1], x[2], y[2], z[2]]
}
