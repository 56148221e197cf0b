import { type Side, sideFactor } from '../anatomy/terms.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { compose, mapPoint, mapVector, rotate, transpose } from '../geometry/rigid.ts'
import { dot, scale, sub, toDeg, toRad, type Vec3 } from '../geometry/vec.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import type { Standing } from '../stance/standing.ts'
import type { BearingGeometry, RelativePose } from './bearing.ts'
import type { BearingChoices } from './bearing-geometry.ts'
import type { LoadLine } from './load-line.ts'
import type { Profile } from './profile.ts'

/** How the femoral component stands over the tray, and whether each part was entered or follows from plan and pose. */
export interface Facing {
  readonly tiltDeg: number
  readonly rotationDeg: number
  /** Middle of the femoral condyles lateral of the middle of the dishes, mm, before the load slides it. */
  readonly shiftLateralMm: number
  /** Lowest points of the condyles ahead of those of the dishes, mm, from plan and pose; 0 where the files share no pose. */
  readonly shiftAnteriorMm: number
  readonly tiltSource: 'plan-and-pose' | 'entered'
  readonly rotationSource: 'plan-and-pose' | 'entered' | 'assumed' | 'mobile'
  readonly shiftSource: 'plan-and-pose' | 'entered' | 'assumed'
}

export interface FacingInput {
  readonly choices: Pick<BearingChoices, 'tiltDeg' | 'rotationDeg' | 'shiftLateralMm'>
  readonly components: Plan['components']
  readonly side: Side
  readonly standing: Pick<Standing, 'stanceFromFemur' | 'stanceFromTibia'>
  readonly line: Pick<LoadLine, 'normal' | 'lateral' | 'anterior'>
  /** Middle of the tray's face in the tibia's patient frame, and of the dishes lateral and ahead of it, mm. */
  readonly trayCentre: Vec3
  readonly dishesLateralMm: number
  readonly dishesForwardMm: number
  /** Whether the files share a pose, so that rotation and sideways place between the bones are known. */
  readonly rotationKnown: boolean
  /** A mobile insert turns with the component. */
  readonly mobile: boolean
}

/**
 * Tilt and rotation of the line through both condyles of the placed femoral component (its own flexion axis) over the
 * tray, in the posed leg: tilt = asin(e·n), lateral side up positive; rotation = atan2(e·anterior, e·lateral), the tray
 * external under the component positive; e points lateral. The shifts are how far the component's middle, at the level of
 * its condyles' lowest points, lies lateral and ahead of the dishes. Entered numbers come first. The rotation is 0 on a mobile insert,
 * rotation and shifts are 0 where the bones share no pose; without a femoral component all are 0.
 */
export function facingComponents(input: FacingInput): Facing {
  const { choices, line, rotationKnown, mobile } = input
  const e = condyleLine(input)
  const tilt = e ? toDeg(Math.asin(Math.max(-1, Math.min(1, dot(e, line.normal))))) : 0
  const turn = e ? toDeg(Math.atan2(dot(e, line.anterior), dot(e, line.lateral))) : 0
  const follows = rotationKnown && !mobile
  const [beside, ahead] = rotationKnown ? shiftsMm(input) : [0, 0]
  return {
    tiltDeg: choices.tiltDeg ?? clean(tilt),
    rotationDeg: choices.rotationDeg ?? (follows ? clean(turn) : 0),
    shiftLateralMm: choices.shiftLateralMm ?? clean(beside),
    shiftAnteriorMm: clean(ahead),
    tiltSource: choices.tiltDeg === null ? 'plan-and-pose' : 'entered',
    rotationSource:
      choices.rotationDeg !== null ? 'entered' : mobile ? 'mobile' : rotationKnown ? 'plan-and-pose' : 'assumed',
    shiftSource: choices.shiftLateralMm !== null ? 'entered' : rotationKnown ? 'plan-and-pose' : 'assumed',
  }
}

/**
 * The pose the contact is solved in. A dish brings the condyles to where the load balances, wherever they come from; on an
 * insert that is flat across, or front to back, they stay there where plan and pose put them. An entered shift is taken as it is.
 */
export const poseOf = (
  { tiltDeg, rotationDeg, shiftLateralMm, shiftAnteriorMm, shiftSource }: Facing,
  { insertCoronal, insertSagittal }: Pick<BearingGeometry, 'insertCoronal' | 'insertSagittal'>,
): RelativePose => ({
  tiltDeg,
  rotationDeg,
  shiftLateralMm: shiftSource === 'entered' || isFlat(insertCoronal) ? shiftLateralMm : 0,
  shiftAnteriorMm: isFlat(insertSagittal) ? shiftAnteriorMm : 0,
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
  const shift =
    choices.shiftLateralMm !== null
      ? `shift ${choices.shiftLateralMm} mm to the side entered`
      : rotationKnown
        ? 'place from both components and the bones as they lie on the files'
        : 'no shift: the files share no pose'
  return {
    what: 'femoral component over the tray',
    value: `${tilt}; ${turn}; ${shift}`,
    basis:
      'the flexion axis of the placed component against the tray’s axes in each pose; with both condyles down the load settles the tilt, and in a dish the place: there the condyles begin at its lowest points, on a flat insert where plan and pose put them; nothing turns the bones back: no ligaments, no guidance by the insert',
  }
}

/** From this radius on a dish centres nothing: 5 mm beside its middle it has risen by an eighth of a millimetre. Our rule. */
const flatFromMm = 100

const isFlat = (profile: Profile): boolean => profile.kind === 'arc' && profile.radiusMm >= flatFromMm

function condyleLine({ components, side, standing }: FacingInput): Vec3 | null {
  const femoral = components.find(({ id }) => id === 'femoral')
  if (!femoral) return null
  const lateral: Vec3 = [0, 0, sideFactor(side)]
  return mapVector(standing.stanceFromFemur, mapVector(femoral.patientFromComponent, lateral))
}

function shiftsMm(input: FacingInput): readonly [number, number] {
  const { components, standing, line, trayCentre, dishesLateralMm, dishesForwardMm } = input
  const femoral = components.find(({ id }) => id === 'femoral')
  if (!femoral) return [0, 0]
  const toStance = compose(standing.stanceFromFemur, femoral.patientFromComponent)
  const [dx, dy] = rotate(transpose(toStance.rotation), scale(line.normal, -1))
  let [most, low] = [Number.NEGATIVE_INFINITY, [0, 0] as readonly [number, number]]
  for (const corner of sagittalCorners(femoral.mesh)) {
    const reach = dx * corner[0] + dy * corner[1]
    if (reach > most) [most, low] = [reach, corner]
  }
  const middle = mapPoint(toStance, [low[0], low[1], 0])
  const from = sub(middle, mapPoint(standing.stanceFromTibia, trayCentre))
  return [dot(from, line.lateral) - dishesLateralMm, dot(from, line.anterior) - dishesForwardMm]
}

/** Corners of a component seen from its side that can lie lowest in any flexion; remembered per mesh, as the hand waits for it. */
function sagittalCorners(mesh: Mesh): readonly (readonly [number, number])[] {
  const known = cornersOf.get(mesh)
  if (known) return known
  const farthest = new Map<number, { readonly reach: number; readonly corner: readonly [number, number] }>()
  for (let k = 0; k < mesh.positions.length; k += 3) {
    const [x, y] = [mesh.positions[k]!, mesh.positions[k + 1]!]
    for (let deg = -180; deg < 180; deg += 3) {
      const reach = x * Math.cos(toRad(deg)) + y * Math.sin(toRad(deg))
      if (reach > (farthest.get(deg)?.reach ?? Number.NEGATIVE_INFINITY)) farthest.set(deg, { reach, corner: [x, y] })
    }
  }
  const corners = [...new Set([...farthest.values()].map(({ corner }) => corner))]
  cornersOf.set(mesh, corners)
  return corners
}

const cornersOf = new WeakMap<Mesh, readonly (readonly [number, number])[]>()

/** Rounding noise would cost a symmetric knee its symmetry and the solver its quick way. */
const clean = (deg: number): number => (Math.abs(deg) < 1e-9 ? 0 : deg)
