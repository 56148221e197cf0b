import type { FemurAnatomy, KneeAngles, Side, TibiaAnatomy } from '../anatomy/terms.ts'
import { sideFactor } from '../anatomy/terms.ts'
import { ok, type Result, type Warning } from '../failure.ts'
import { compose, intoFrame, mapPoint, mapVector } from '../geometry/rigid.ts'
import { toDeg, toRad, type Vec3 } from '../geometry/vec.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import { kneeOffset, lengtheningMm, type OffsetAtKnee, withOffset } from './knee-offset.ts'
import { type PoseSpacing, poseSpacing } from './spacing.ts'
import { type Limb, type StandingLeg, standLeg } from './stand-leg.ts'
import type { Standing } from './standing.ts'
import { poseNames, type StanceChoices } from './terms.ts'
import { lineToFloorDeg, tiltToFloor } from './tilt.ts'

/** What the stance reads. Anatomy and tray are in the patient frames of their files. */
export interface StanceInput {
  readonly side: Side
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly angles: KneeAngles
  readonly plan: Pick<Plan, 'after' | 'tray' | 'procedure' | 'sites'>
  readonly choices: StanceChoices
}

export interface Stances {
  readonly poses: readonly Standing[]
  readonly assumptions: readonly Assumption[]
  readonly warnings: readonly Warning[]
}

/** Height of the ankle centre above the floor, mm: assumed, moves the drawing only. */
export const ankleHeightMm = 75

/** Mean bone lengths stand in where a truncated scan has no hip or ankle (Strecker et al., JBJS Br 1997;79:1019). */
const assumedLengthMm = { femur: 463, tibia: 369 }

/**
 * Every pose of the case, on the real bones: re-posed by the joint coordinate system, before with the native limb
 * deviation, after with LDFA_cut − MPTA_cut. A pose that cannot be stood is left out with a warning.
 */
export function standEveryPose(input: StanceInput): Result<Stances> {
  const { side, femur, tibia, angles, plan, choices } = input
  const s = sideFactor(side)
  const before = varusBefore(angles, choices)
  const after = varusAfter(plan, before.varusDeg)
  const hipInFemur = inBone(femur, 'hipCentre', [0, assumedLengthMm.femur, 0])
  const ankleInTibia = inBone(tibia, 'ankleCentre', [0, -assumedLengthMm.tibia, 0])
  const rotation = angles.kneePose?.externalRotationDeg ?? 0
  const limb: Limb = { side, hipInFemur, ankleInTibia, varusDeg: 0, flexionDeg: 0, externalRotationDeg: rotation }
  const offset = kneeOffset(femur, tibia, angles.kneePose !== null, side)
  const lengthening = lengtheningMm(plan.sites)
  const warnings: Warning[] = [...before.warnings, ...truncationWarnings(femur, tibia)]
  const poses: Standing[] = []
  for (const pose of poseNames) {
    const spacing = poseSpacing(pose, choices)
    const footing = { ...spacing, ankleHeightMm }
    const bent = { ...limb, flexionDeg: spacing.flexionDeg }
    const native = before.varusDeg === null ? null : standLeg({ ...bent, varusDeg: before.varusDeg }, footing)
    const now = standLeg({ ...bent, varusDeg: after }, footing)
    const failed = now.ok ? (native && !native.ok ? native : null) : now
    if (failed || !now.ok) {
      warnings.push({
        code: 'stance/degenerate',
        message: `The pose “${pose}” cannot be stood: ${failed?.failure.message ?? ''}`,
        spoils: ['stance', 'loading'],
      })
      continue
    }
    poses.push(
      standing({
        spacing,
        now: now.value,
        native: native?.ok ? native.value : null,
        varus: { before: before.varusDeg, after },
        offset: { ...offset, proximalMm: offset.proximalMm - lengthening },
        lengthening,
        input,
        s,
      }),
    )
  }
  return ok({ poses, assumptions: stanceAssumptions(input, before.basis), warnings })
}

interface Solved {
  readonly spacing: PoseSpacing
  readonly now: StandingLeg
  readonly native: StandingLeg | null
  readonly varus: { readonly before: number | null; readonly after: number }
  readonly offset: OffsetAtKnee
  readonly lengthening: number
  readonly input: StanceInput
  readonly s: 1 | -1
}

function standing({ spacing, now, native, varus, offset, lengthening, input, s }: Solved): Standing {
  const { femur, tibia, plan, angles, side } = input
  const placed = withOffset(now, offset, side)
  const stanceFromTibia = compose(placed.stanceFromTibiaFrame, intoFrame(tibia.frame))
  const stanceFromFemur = compose(placed.stanceFromFemurFrame, intoFrame(femur.frame))
  const tray = tiltToFloor(
    mapVector(stanceFromTibia, plan.tray.medial),
    mapVector(stanceFromTibia, plan.tray.posterior),
    mapVector(stanceFromTibia, plan.tray.normal),
  )
  const nativeLine =
    native && angles.mptaDeg !== null ? mapVector(native.stanceFromTibiaFrame, medialLine(angles.mptaDeg, s)) : null
  return {
    pose: spacing.pose,
    hipHalfSpacingMm: spacing.hipHalfSpacingMm,
    ankleHalfSpacingMm: spacing.ankleHalfSpacingMm,
    spacingSource: spacing.spacingSource,
    ankleHeightMm,
    flexionDeg: spacing.flexionDeg,
    footRotationDeg: spacing.footRotationDeg,
    limbVarusBeforeDeg: varus.before,
    limbVarusDeg: varus.after,
    legLeanDeg: now.legLeanDeg,
    femurLeanDeg: now.femurLeanDeg,
    tibiaLeanDeg: now.tibiaLeanDeg,
    tibiaLeanBeforeDeg: native?.tibiaLeanDeg ?? null,
    tibiaForwardLeanDeg: now.tibiaForwardLeanDeg,
    jointLineToFloorBeforeDeg: nativeLine ? lineToFloorDeg(nativeLine) : null,
    trayToFloorCoronalDeg: tray.coronalDeg,
    trayToFloorSagittalDeg: tray.sagittalDeg,
    trayToFloorDeg: tray.totalDeg,
    pelvisTiltDeg:
      spacing.feetDown === 2 ? pelvisTiltDeg(now, otherLengthMm(input.choices, native), lengthening, spacing) : 0,
    kneeOffsetMm: now.kneeOffsetMm,
    stanceFromFemur,
    stanceFromTibia,
  }
}

/** Unit medial direction of a tibial joint line of that MPTA in the tibia's own coronal plane, tibia frame. */
export const medialLine = (mptaDeg: number, s: 1 | -1): Vec3 => [
  0,
  -Math.sin(toRad(90 - mptaDeg)),
  -s * Math.cos(toRad(90 - mptaDeg)),
]

/** The other leg's own length where it is known, else this leg's before the cuts; null where neither is. */
const otherLengthMm = ({ other }: StanceChoices, native: StandingLeg | null): number | null =>
  other?.legLengthMm ?? native?.legLengthMm ?? null

/** Both feet on the floor: the other leg keeps its length, the pelvis takes up the difference. */
function pelvisTiltDeg(now: StandingLeg, otherMm: number | null, lengthening: number, spacing: PoseSpacing): number {
  if (otherMm === null) return 0
  const sideways = spacing.hipHalfSpacingMm - spacing.ankleHalfSpacingMm
  const height = (legMm: number) => Math.sqrt(Math.max(0, legMm * legMm - sideways * sideways))
  const rise = height(now.legLengthMm + lengthening) - height(otherMm)
  return toDeg(Math.atan2(rise, 2 * spacing.hipHalfSpacingMm))
}

function varusBefore(
  { hkaDeg, ldfaDeg, mptaDeg }: KneeAngles,
  { jlcaDeg }: StanceChoices,
): { varusDeg: number | null; basis: string; warnings: Warning[] } {
  if (ldfaDeg === null || mptaDeg === null)
    return {
      varusDeg: null,
      basis: 'withheld: LDFA or MPTA is missing',
      warnings: [
        {
          code: 'stance/before-withheld',
          message: 'The stance before the cuts is withheld because LDFA or MPTA is.',
          spoils: ['stance.*.tibiaLeanBeforeDeg', 'stance.*.jointLineToFloorBeforeDeg'],
        },
      ],
    }
  if (jlcaDeg !== null)
    return {
      varusDeg: ldfaDeg - mptaDeg + jlcaDeg,
      basis: `LDFA − MPTA + the entered joint line convergence of ${jlcaDeg}°`,
      warnings: [],
    }
  if (hkaDeg !== null) return { varusDeg: 180 - hkaDeg, basis: 'measured on the files (lying down)', warnings: [] }
  return {
    varusDeg: ldfaDeg - mptaDeg,
    basis: 'LDFA − MPTA, joint line convergence taken as 0',
    warnings: [
      {
        code: 'stance/convergence-unknown',
        message:
          'Femur and tibia share no believable pose, so the native leg stands with a joint line convergence of 0; enter the standing value if it is known.',
        spoils: ['stance.*.tibiaLeanBeforeDeg', 'stance.*.jointLineToFloorBeforeDeg', 'stance.*.limbVarusBeforeDeg'],
      },
    ],
  }
}

/** Total: the two cuts meet with a joint line convergence of 0. Partial: the limb axis planning worked out. */
function varusAfter(plan: StanceInput['plan'], before: number | null): number {
  if (plan.procedure === 'total') return plan.after.ldfaDeg - plan.after.mptaDeg
  if (plan.after.hkaDeg !== null) return 180 - plan.after.hkaDeg
  return before ?? plan.after.ldfaDeg - plan.after.mptaDeg
}

function inBone(bone: FemurAnatomy | TibiaAnatomy, id: 'hipCentre' | 'ankleCentre', fallback: Vec3): Vec3 {
  const landmark = bone.landmarks[id]
  return landmark ? mapPoint(intoFrame(bone.frame), landmark.mm) : fallback
}

function truncationWarnings(femur: FemurAnatomy, tibia: TibiaAnatomy): Warning[] {
  const missing = [
    ...(femur.landmarks.hipCentre ? [] : [`no hip centre: femur length ${assumedLengthMm.femur} mm assumed`]),
    ...(tibia.landmarks.ankleCentre ? [] : [`no ankle centre: tibia length ${assumedLengthMm.tibia} mm assumed`]),
  ]
  if (missing.length === 0) return []
  return [
    {
      code: 'stance/assumed-length',
      message: `The leg stands on assumed lengths (${missing.join('; ')}; Strecker et al. 1997).`,
      spoils: ['stance', 'loading'],
    },
  ]
}

function stanceAssumptions({ choices, angles }: StanceInput, beforeBasis: string): Assumption[] {
  const spacings = poseNames.map((pose) => {
    const p = poseSpacing(pose, choices)
    return {
      what: `stance ${pose}`,
      value: `half hip spacing ${p.hipHalfSpacingMm} mm, half ankle spacing ${p.ankleHalfSpacingMm} mm, ${p.spacingSource}`,
      basis: p.basis,
    }
  })
  return [
    ...spacings,
    {
      what: 'limb deviation before the cuts',
      value: beforeBasis,
      basis: 'files from CT or MRI are lying down; standing adds varus and extension',
    },
    {
      what: 'limb deviation after the cuts',
      value: 'LDFA of the cut − MPTA of the cut',
      basis: 'components in touch on both sides, joint line convergence 0',
    },
    {
      what: 'standing leg',
      value: 'knee centres together, hip plumb above ankle, knee axis facing forward unless foot rotation is entered',
      basis: 'model of the stance; common practice, no source',
    },
    {
      what: 'tibial rotation when standing',
      value: angles.kneePose ? 'as measured on the files' : '0, the files share no pose',
      basis: 'joint coordinate system (Grood & Suntay 1983)',
    },
    {
      what: 'other leg',
      value:
        choices.other === null
          ? 'mirror image of this leg before the cuts'
          : `measured on its own files: ${choices.other.legLengthMm.toFixed(1)} mm long, varus ${choices.other.varusDeg.toFixed(1)}°`,
      basis:
        choices.other === null
          ? 'only one leg is loaded'
          : 'same definitions; drawn from its own bones where its files are at hand, else as the mirror image of this leg',
    },
    {
      what: 'ankle height',
      value: `${ankleHeightMm} mm above the floor`,
      basis: 'drawing only; common practice, no source',
    },
  ]
}
