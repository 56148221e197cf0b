import { jointPose, tibiaFromPose } from '../anatomy/joint-pose.ts'
import type { FemurAnatomy, LandmarkId, Side, TibiaAnatomy } from '../anatomy/terms.ts'
import { compose, type Frame, intoFrame, mapPoint, type Rigid } from '../geometry/rigid.ts'
import { midpoint, type Vec3 } from '../geometry/vec.ts'
import type { Site } from '../planning/planned.ts'
import type { StandingLeg } from './stand-leg.ts'

/** How the two knee centres lie apart, along the axes of the joint coordinate system, mm. */
export interface OffsetAtKnee {
  readonly lateralMm: number
  readonly anteriorMm: number
  readonly proximalMm: number
}

/** Cartilage of both bones in a joint that just touches, mm; assumed (check values §4.1). */
const cartilageGapMm = 4

/**
 * Where the tibia sits against the femur: as measured when the files share a pose, else the plateau points under the
 * distal condyle points with the assumed cartilage between. It moves the drawn bones apart and changes no angle.
 */
export function kneeOffset(femur: FemurAnatomy, tibia: TibiaAnatomy, shared: boolean, side: Side): OffsetAtKnee {
  if (shared) {
    const { lateralMm, anteriorMm, proximalMm } = jointPose(femur.frame, tibia.frame, side)
    return { lateralMm, anteriorMm, proximalMm }
  }
  const condyles = middleOf(femur, 'condyleDistalMedial', 'condyleDistalLateral', [0, -15, 0])
  const plateaus = midpoint(
    mapPoint(intoFrame(tibia.frame), tibia.medial.point),
    mapPoint(intoFrame(tibia.frame), tibia.lateral.point),
  )
  return {
    lateralMm: 0,
    anteriorMm: condyles[0] - plateaus[0],
    proximalMm: condyles[1] - cartilageGapMm - plateaus[1],
  }
}

/** Mean lengthening of the leg at the knee, mm: what the components put back beyond what was taken, both sides' mean. */
export function lengtheningMm(sites: readonly Site[]): number {
  const mean = (values: readonly number[]) =>
    values.length === 0 ? 0 : values.reduce((sum, v) => sum + v, 0) / values.length
  const differences = (start: string) => sites.filter((x) => x.id.startsWith(start)).map((x) => x.differenceMm)
  const change = -mean(differences('tibia-')) - mean(differences('femur-distal-'))
  return change === 0 ? 0 : change
}

/** The same standing leg with its femur moved (not turned) so that the knee centres lie apart by `offset`. */
export function withOffset(
  leg: StandingLeg,
  offset: OffsetAtKnee,
  side: Side,
): {
  readonly stanceFromFemurFrame: Rigid
  readonly stanceFromTibiaFrame: Rigid
} {
  const angles = jointPose(frameOf(leg.stanceFromFemurFrame), frameOf(leg.stanceFromTibiaFrame), side)
  const tibiaFromFemur = tibiaFromPose({ ...angles, ...offset }, side)
  return {
    stanceFromFemurFrame: compose(leg.stanceFromTibiaFrame, tibiaFromFemur),
    stanceFromTibiaFrame: leg.stanceFromTibiaFrame,
  }
}

function frameOf({ rotation: r, translation }: Rigid): Frame {
  return { origin: translation, x: [r[0], r[3], r[6]], y: [r[1], r[4], r[7]], z: [r[2], r[5], r[8]] }
}

function middleOf(femur: FemurAnatomy, a: LandmarkId, b: LandmarkId, fallback: Vec3): Vec3 {
  const first = femur.landmarks[a]
  const second = femur.landmarks[b]
  return first && second ? mapPoint(intoFrame(femur.frame), midpoint(first.mm, second.mm)) : fallback
}
