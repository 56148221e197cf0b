import type { Warning } from '../failure.ts'
import { mapVector, outOfFrame } from '../geometry/rigid.ts'
import { sub, type Vec3 } from '../geometry/vec.ts'
import {
  arithmeticHkaDeg,
  externalRotationDeg,
  hkaDeg,
  hkaOneCentreDeg,
  jlcaByLinesDeg,
  jlcaDerivedDeg,
  jointLineObliquityDeg,
  ldfaDeg,
  levelledJointLine,
  mptaDeg,
  mptaPlainDeg,
  slopeDeg,
} from './angles.ts'
import { coronalType } from './coronal-type.ts'
import { jointPose } from './joint-pose.ts'
import { judgeRelativePose, type PoseCheck, type RelativePose } from './relative-pose.ts'
import type { FemurAnatomy, KneeAngles, LandmarkId, PatientFrame, References, TibiaAnatomy } from './terms.ts'
import { anteversionDeg, posteriorDistalFemoralDeg, tibialTorsionDeg } from './torsion.ts'

export interface MeasuredAngles {
  readonly angles: KneeAngles
  readonly relativePose: JudgedPose
  readonly warnings: readonly Warning[]
}

/** Whether both bones may be told in one pose, and by which values. */
export interface JudgedPose {
  readonly shared: boolean
  readonly reason: string | null
  /** The table of plausibility; empty where the condyle points are missing. */
  readonly checks: readonly PoseCheck[]
}

const needsBothBones = [
  'angles.hkaDeg',
  'angles.hkaOneCentreDeg',
  'angles.jlcaDeg',
  'angles.jlcaLinesDeg',
  'angles.kneePose',
]

/**
 * All angles of a knee (conventions, "Signs" and "Limb axis"), degrees. What rests on a hip or ankle that is not
 * there, or on a relative pose that is implausible, is null and a warning names its path.
 */
export function measureAngles(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  choices: { readonly references: References; readonly frame: PatientFrame },
): MeasuredAngles {
  const relative = relativePose(femur, tibia)
  const angles = anglesOfKnee(femur, tibia, choices.references, relative.shared)
  return {
    angles,
    relativePose: { shared: relative.shared, reason: relative.reason, checks: relative.checks },
    warnings: warningsFor(angles, femur, tibia, choices.references, relative),
  }
}

/**
 * The angles alone, for as many knees as an error study draws; `shared`: femur and tibia lie in one frame as they were read. What
 * needs a hip, an ankle or a shared frame that is not there is null.
 */
export function anglesOfKnee(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  references: References,
  shared: boolean,
): KneeAngles {
  const side = femur.side
  const distalMedial = femur.landmarks.condyleDistalMedial?.mm ?? null
  const distalLateral = femur.landmarks.condyleDistalLateral?.mm ?? null
  const ldfa =
    distalMedial && distalLateral && !femur.truncated ? ldfaDeg(femur.frame, distalMedial, distalLateral, side) : null
  const mpta = tibia.truncated ? null : mptaDeg(tibia.frame, tibia.medial, tibia.lateral, side)
  const whole = shared && ldfa !== null && mpta !== null
  const pose = whole ? jointPose(femur.frame, tibia.frame, side) : null
  const hka = pose ? hkaDeg(pose.varusDeg) : null
  const ankle = tibia.landmarks.ankleCentre?.mm ?? null
  const axis = references.slopeAxis === 'mechanical' && !tibia.truncated ? tibia.frame.y : tibia.proximalShaft.direction
  return {
    hkaDeg: hka,
    hkaOneCentreDeg: whole && ankle ? hkaOneCentreDeg(femur.frame, ankle, side) : null,
    ldfaDeg: ldfa,
    mptaDeg: mpta,
    mptaPlainDeg: tibia.truncated ? null : mptaPlainDeg(tibia.frame, tibia.medial.point, tibia.lateral.point, side),
    jlcaDeg: hka !== null && ldfa !== null && mpta !== null ? jlcaDerivedDeg(mpta, ldfa, hka) : null,
    jlcaLinesDeg:
      shared && distalMedial && distalLateral
        ? jlcaByLinesDeg(femur.frame, sub(distalLateral, distalMedial), tibialJointLine(tibia), side)
        : null,
    arithmeticHkaDeg: ldfa !== null && mpta !== null ? arithmeticHkaDeg(mpta, ldfa) : null,
    jointLineObliquityDeg: ldfa !== null && mpta !== null ? jointLineObliquityDeg(mpta, ldfa) : null,
    coronalType: ldfa !== null && mpta !== null ? coronalType(ldfa, mpta) : null,
    slopeMedialDeg: tibia.medial.slopeUnclear ? null : slopeDeg(tibia.frame, tibia.medial.normal, axis),
    slopeLateralDeg: tibia.lateral.slopeUnclear ? null : slopeDeg(tibia.frame, tibia.lateral.normal, axis),
    posteriorCondylarDeg: posteriorCondylarAngle(femur),
    pdfaDeg: posteriorDistalFemoralDeg(femur),
    anteversionDeg: anteversionDeg(femur),
    tibialTorsionDeg: tibialTorsionDeg(tibia),
    kneePose: pose && {
      flexionDeg: pose.flexionDeg,
      varusDeg: pose.varusDeg,
      externalRotationDeg: pose.externalRotationDeg,
      lateralMm: pose.lateralMm,
      anteriorMm: pose.anteriorMm,
      proximalMm: pose.proximalMm,
    },
  }
}

function warningsFor(
  angles: KneeAngles,
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  references: References,
  relative: { readonly shared: boolean; readonly reason: string | null },
): readonly Warning[] {
  const { ldfaDeg: ldfa, mptaDeg: mpta, mptaPlainDeg: mptaPlain } = angles
  const warnings: Warning[] = []
  if (mpta !== null && mptaPlain !== null && Math.abs(mpta - mptaPlain) > 0.5)
    warnings.push({
      code: 'anatomy/mpta-level',
      message: `MPTA is ${mpta.toFixed(1)}° with the plateau points brought to one level and ${mptaPlain.toFixed(1)}° by the plain line.`,
      spoils: [],
    })
  if (ldfa === null)
    warnings.push(withheld('the hip centre is missing; the shaft axis stands in', ['angles.ldfaDeg', ...dependsOnBoth]))
  if (mpta === null)
    warnings.push(
      withheld('the ankle centre is missing; the shaft axis stands in', [
        'angles.mptaDeg',
        'angles.mptaPlainDeg',
        ...dependsOnBoth,
      ]),
    )
  if (!relative.shared) warnings.push(withheld(relative.reason ?? '', [...needsBothBones, 'gaps']))
  if (tibia.truncated && references.slopeAxis === 'mechanical')
    warnings.push({
      code: 'anatomy/slope-axis',
      message: 'Without an ankle centre the slopes are told against the proximal shaft axis.',
      spoils: ['angles.slopeMedialDeg', 'angles.slopeLateralDeg'],
    })
  for (const [plateau, path] of [
    [tibia.medial, 'angles.slopeMedialDeg'],
    [tibia.lateral, 'angles.slopeLateralDeg'],
  ] as const)
    if (plateau.slopeUnclear) warnings.push(withheld(plateau.slopeUnclear, [path]))
  const missing = femur.shaftUnclear ? { ...notOnTheScan, pdfaDeg: femur.shaftUnclear } : notOnTheScan
  for (const [key, reason] of Object.entries(missing))
    if (angles[key as keyof typeof notOnTheScan] === null) warnings.push(withheld(reason, [`angles.${key}`]))
  return warnings
}

/** What an angle of one place needs, and has not where it is null. */
const notOnTheScan = {
  pdfaDeg: 'the front of the femur above the joint, or a posterior condyle, is not on the mesh',
  anteversionDeg: 'head and neck of the femur are not on the mesh',
  tibialTorsionDeg: 'the medial malleolus or the ankle centre is missing',
  posteriorCondylarDeg: 'an epicondyle or a posterior condyle is not on the mesh',
} as const

const dependsOnBoth = [
  'angles.arithmeticHkaDeg',
  'angles.jointLineObliquityDeg',
  'angles.coronalType',
  'angles.hkaDeg',
  'angles.hkaOneCentreDeg',
  'angles.jlcaDeg',
  'angles.kneePose',
]

const withheld = (reason: string, spoils: readonly string[]): Warning => ({
  code: 'anatomy/withheld',
  message: `Withheld: ${reason}${reason.endsWith('.') ? '' : '.'}`,
  spoils: [...new Set(spoils)],
})

function relativePose(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
):
  | RelativePose
  | { readonly shared: false; readonly reason: string; readonly checks: readonly []; readonly pose: null } {
  const distalMedial = femur.landmarks.condyleDistalMedial?.mm
  const distalLateral = femur.landmarks.condyleDistalLateral?.mm
  if (!distalMedial || !distalLateral)
    return { shared: false, reason: 'The distal condyle points are missing.', checks: [], pose: null }
  return judgeRelativePose({
    femur: femur.frame,
    tibia: tibia.frame,
    side: femur.side,
    convergenceDeg: jlcaByLinesDeg(femur.frame, sub(distalLateral, distalMedial), tibialJointLine(tibia), femur.side),
    distalMedial,
    distalLateral,
    plateauMedial: tibia.medial.point,
    plateauLateral: tibia.lateral.point,
  })
}

/** Medial → lateral along the levelled joint line, in the frame of the file. */
function tibialJointLine(tibia: TibiaAnatomy): Vec3 {
  const line = levelledJointLine(tibia.frame, tibia.medial, tibia.lateral)
  return mapVector(outOfFrame(tibia.frame), sub(line.lateral, line.medial))
}

/**
 * Epicondyle line against the posterior condylar line, external positive, degrees; null when a point is missing. `medialEnd` (patient
 * frame) stands in for the medial prominence.
 */
export function posteriorCondylarAngle(femur: FemurAnatomy, medialEnd: Vec3 | null = null): number | null {
  const between = (medial: LandmarkId, lateral: LandmarkId): Vec3 | null => {
    const m = femur.landmarks[medial]
    const l = femur.landmarks[lateral]
    return m && l ? sub(l.mm, m.mm) : null
  }
  const lateral = femur.landmarks.epicondyleLateral?.mm
  const epicondyles = medialEnd && lateral ? sub(lateral, medialEnd) : between('epicondyleMedial', 'epicondyleLateral')
  const posterior = between('condylePosteriorMedial', 'condylePosteriorLateral')
  return epicondyles && posterior ? externalRotationDeg(femur.frame, epicondyles, posterior, femur.side) : null
}
