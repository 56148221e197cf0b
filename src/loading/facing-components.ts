import { type Side, sideFactor } from '../anatomy/terms.ts'
import { mapVector } from '../geometry/rigid.ts'
import { dot, toDeg, type Vec3 } from '../geometry/vec.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import type { Standing } from '../stance/standing.ts'
import type { RelativePose } from './bearing.ts'
import type { BearingChoices } from './bearing-geometry.ts'
import type { LoadLine } from './load-line.ts'

/** How the femoral component stands over the tray, and whether each part was entered or follows from plan and pose. */
export interface Facing {
  readonly tiltDeg: number
  readonly rotationDeg: number
  readonly tiltSource: 'plan-and-pose' | 'entered'
  readonly rotationSource: 'plan-and-pose' | 'entered' | 'assumed' | 'mobile'
}

export interface FacingInput {
  readonly choices: Pick<BearingChoices, 'tiltDeg' | 'rotationDeg'>
  readonly components: Plan['components']
  readonly side: Side
  readonly standing: Pick<Standing, 'stanceFromFemur'>
  readonly line: Pick<LoadLine, 'normal' | 'lateral' | 'anterior'>
  /** Whether the files share a pose, so that the rotation between the bones is known. */
  readonly rotationKnown: boolean
  /** A mobile insert turns with the component. */
  readonly mobile: boolean
}

/**
 * Tilt and rotation of the line through both condyles of the placed femoral component (its own flexion axis) over the
 * tray, in the posed leg: tilt = asin(e·n), lateral side up positive; rotation = atan2(e·anterior, e·lateral), the tray
 * external under the component positive; e points lateral. Entered numbers come first. The rotation is 0 on a mobile
 * insert and where the bones share no pose; without a femoral component both are 0.
 */
export function facingComponents(input: FacingInput): Facing {
  const { choices, line, rotationKnown, mobile } = input
  const e = condyleLine(input)
  const tilt = e ? toDeg(Math.asin(Math.max(-1, Math.min(1, dot(e, line.normal))))) : 0
  const turn = e ? toDeg(Math.atan2(dot(e, line.anterior), dot(e, line.lateral))) : 0
  const follows = rotationKnown && !mobile
  return {
    tiltDeg: choices.tiltDeg ?? clean(tilt),
    rotationDeg: choices.rotationDeg ?? (follows ? clean(turn) : 0),
    tiltSource: choices.tiltDeg === null ? 'plan-and-pose' : 'entered',
    rotationSource:
      choices.rotationDeg !== null ? 'entered' : mobile ? 'mobile' : rotationKnown ? 'plan-and-pose' : 'assumed',
  }
}

/** The pose the contact is solved in. */
export const poseOf = ({ tiltDeg, rotationDeg }: Facing, { shiftLateralMm }: BearingChoices): RelativePose => ({
  tiltDeg,
  rotationDeg,
  shiftLateralMm,
  shiftAnteriorMm: 0,
})

/** What the relative pose takes for granted. */
export function facingAssumption(choices: BearingChoices, rotationKnown: boolean, mobile: boolean): Assumption {
  const tilt = choices.tiltDeg === null ? 'tilt from plan and pose' : `tilt ${choices.tiltDeg}° entered`
  const turn =
    choices.rotationDeg !== null
      ? `rotation ${choices.rotationDeg}° entered`
      : mobile
        ? 'no rotation: the insert turns with the component'
        : rotationKnown
          ? 'rotation from femoral rotation, tray rotation and the rotation between the bones on the files'
          : 'rotation 0: the files share no pose'
  return {
    what: 'femoral component over the tray',
    value: `${tilt}; ${turn}`,
    basis:
      'the flexion axis of the placed component against the tray’s axes in each pose; with both condyles down the load settles the tilt; nothing turns the bones back: no ligaments, no guidance by the insert',
  }
}

function condyleLine({ components, side, standing }: FacingInput): Vec3 | null {
  const femoral = components.find(({ id }) => id === 'femoral')
  if (!femoral) return null
  const lateral: Vec3 = [0, 0, sideFactor(side)]
  return mapVector(standing.stanceFromFemur, mapVector(femoral.patientFromComponent, lateral))
}

/** Rounding noise would cost a symmetric knee its symmetry and the solver its quick way. */
const clean = (deg: number): number => (Math.abs(deg) < 1e-9 ? 0 : deg)
