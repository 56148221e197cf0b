import { type LandmarkId, landmarkIds } from '../anatomy/terms.ts'
import { activities } from '../loading/knee-force.ts'
import { type CutDeparture, type FemoralCutId, femoralCutIds } from '../planning/terms.ts'
import { poseNames } from '../stance/terms.ts'

/** A number that can be set from outside: range, unit and whether it can be left to the recipe or the pose (null). */
export interface NumberRule {
  readonly kind: 'number'
  readonly low: number
  readonly high: number
  readonly unit: 'deg' | 'mm' | 'kg' | 'N' | 'MPa' | ''
  readonly integer: boolean
  readonly nullable: boolean
}

/** A choice of words. */
export interface ChoiceRule {
  readonly kind: 'choice'
  readonly choices: readonly string[]
  readonly nullable: boolean
}

export interface SwitchRule {
  readonly kind: 'switch'
}

export type PathRule = NumberRule | ChoiceRule | SwitchRule

const number = (unit: NumberRule['unit'], low: number, high: number): NumberRule => ({
  kind: 'number',
  low,
  high,
  unit,
  integer: false,
  nullable: false,
})
const optional = (rule: NumberRule): NumberRule => ({ ...rule, nullable: true })
const whole = (low: number, high: number): NumberRule => ({ ...number('', low, high), integer: true })
const choice = (...choices: readonly string[]): ChoiceRule => ({ kind: 'choice', choices, nullable: false })

/** 1 SD of each landmark; null: as the table. */
const sdPaths = Object.fromEntries(
  landmarkIds.map((id) => [`uncertainty.sdMm.${id}`, optional(number('mm', 0, 20))]),
) as unknown as Readonly<Record<`uncertainty.sdMm.${LandmarkId}`, NumberRule>>

/** Femoral cuts that depart from the component's box. */
const departurePaths = Object.fromEntries(
  femoralCutIds.flatMap((id) => [
    [`cuts.departures.${id}.deeperMm`, number('mm', -10, 10)],
    [`cuts.departures.${id}.flexionDeg`, number('deg', -15, 15)],
    [`cuts.departures.${id}.medialDeg`, number('deg', -15, 15)],
  ]),
) as unknown as Readonly<Record<`cuts.departures.${FemoralCutId}.${keyof CutDeparture}`, NumberRule>>

/**
 * The paths of the case that `--set`, `--vary`, number fields and lessons may change; the first block is the contract.
 * Ranges refuse what no knee has; they are not limits of good practice.
 */
export const stablePaths = {
  'cuts.tibia.varusDeg': optional(number('deg', -25, 25)),
  'cuts.tibia.slopeDeg': optional(number('deg', -15, 25)),
  'cuts.tibia.depthMm': optional(number('mm', 0, 40)),
  'cuts.tibia.rotationDeg': optional(number('deg', -45, 45)),
  'cuts.femur.valgusDeg': optional(number('deg', -25, 25)),
  'cuts.femur.flexionDeg': optional(number('deg', -20, 30)),
  'cuts.femur.rotationDeg': optional(number('deg', -30, 30)),
  'cuts.femur.distalMm': optional(number('mm', 0, 40)),
  'implants.family': choice('generic-total', 'generic-total-mobile', 'generic-partial', 'own'),
  'implants.femurSize': optional(whole(1, 20)),
  'implants.tibiaSize': optional(whole(1, 20)),
  'implants.insertMm': optional(number('mm', 3, 40)),
  'wear.medialMm': number('mm', 0, 15),
  'wear.lateralMm': number('mm', 0, 15),
  'saw.kerfMm': number('mm', 0, 3),
  'limits.limbDeg': number('deg', 0, 20),
  'limits.jointLineLowDeg': number('deg', 60, 120),
  'limits.jointLineHighDeg': number('deg', 60, 120),
  'stance.pose': choice(...poseNames),
  'stance.hipHalfSpacingMm': optional(number('mm', 20, 200)),
  'stance.ankleHalfSpacingMm': optional(number('mm', -50, 500)),
  'stance.flexionDeg': number('deg', -15, 120),
  'stance.footRotationDeg': number('deg', -45, 45),
  'load.bodyMassKg': number('kg', 20, 300),
  'load.forceN': optional(number('N', 1, 30000)),
  'bearing.modulusMpa': number('MPa', 1, 1_000_000),
  'bearing.poisson': number('', 0, 0.499),

  'load.activity': choice(...activities),
  'load.ownLateralDeg': optional(number('deg', -45, 45)),
  'load.ownForwardDeg': optional(number('deg', -45, 45)),
  'bearing.law': choice('linear', 'logarithmic'),
  'bearing.femoralCoronalRadiusMm': optional(number('mm', 5, 500)),
  'bearing.femoralSagittalRadiusMm': optional(number('mm', 5, 500)),
  'bearing.femoralEdgeAtMm': optional(number('mm', 1, 60)),
  'bearing.femoralEdgeRadiusMm': number('mm', 0.5, 100),
  'bearing.insertCoronalRadiusMm': optional(number('mm', 5, 5000)),
  'bearing.insertSagittalRadiusMm': optional(number('mm', 5, 5000)),
  'bearing.femoralFlatMm': number('mm', 0, 40),
  'bearing.flatInsert': { kind: 'switch' },
  'bearing.tiltDeg': optional(number('deg', -15, 15)),
  'bearing.rotationDeg': optional(number('deg', -30, 30)),
  'bearing.shiftLateralMm': optional(number('mm', -15, 15)),
  'stance.jlcaDeg': optional(number('deg', -15, 15)),
  'cartilage.femurMm': number('mm', 0, 5),
  'cartilage.tibiaMm': number('mm', 0, 5),
  side: { kind: 'choice', choices: ['left', 'right'], nullable: true },
  frame: choice('lps', 'ras', 'unknown'),
  procedure: choice('total', 'medial-partial'),
  recipe: choice('mechanical', 'anatomic', 'kinematic', 'restricted'),
  'recipeOptions.mechanicalRotation': choice('three-external', 'epicondylar'),
  'recipeOptions.slopeDeg': number('deg', -15, 25),
  'recipeOptions.slopeReleased': { kind: 'switch' },
  'recipeOptions.restrictedAnswer': choice('rule-of-thumb', 'smallest'),
  'recipeOptions.kinematicFlexion': choice('shaft', 'mechanical'),
  'recipeOptions.femoralReferencing': choice('posterior', 'anterior'),
  'recipeOptions.tibialDepthFrom': choice('lateral', 'medial', 'mean'),
  'wear.posteriorMedialMm': optional(number('mm', 0, 15)),
  'wear.posteriorLateralMm': optional(number('mm', 0, 15)),
  'cuts.tibia.shiftLateralMm': optional(number('mm', -20, 20)),
  'cuts.tibia.shiftAnteriorMm': optional(number('mm', -20, 20)),
  'cuts.tibia.verticalMm': optional(number('mm', -10, 25)),
  'cuts.femur.posteriorMm': optional(number('mm', 0, 40)),
  'cuts.femur.shiftLateralMm': optional(number('mm', -20, 20)),
  ...departurePaths,
  'saw.angleSdDeg': number('deg', 0, 10),
  'saw.depthSdMm': number('mm', 0, 5),
  'references.femoralKneeCentre': choice('notch', 'epicondyles'),
  'references.femoralMedioLateral': choice('posterior-condylar', 'epicondylar', 'condylar-cylinder'),
  'references.tibialKneeCentre': choice('spines', 'plateaus'),
  'references.ankleCentre': choice('plafond', 'malleoli'),
  'references.tibialAnterior': choice('pcl-tubercle', 'posterior-tangent', 'femoral'),
  'references.plateauPoint': choice('centroid', 'deepest'),
  'references.slopeAxis': choice('mechanical', 'proximal-shaft'),
  'references.meshSurface': choice('bone', 'cartilage'),
  'measured.sdMm': number('mm', 0.01, 5),
  'anatomyLimits.constitutionalDeg': number('deg', 0, 30),
  'anatomyLimits.obliquityLowDeg': number('deg', 140, 220),
  'anatomyLimits.obliquityHighDeg': number('deg', 140, 220),
  'anatomyLimits.convergenceDeg': number('deg', 0, 30),
  'anatomyLimits.slopeLowDeg': number('deg', -20, 40),
  'anatomyLimits.slopeHighDeg': number('deg', -20, 40),
  'anatomyLimits.bowMm': number('mm', 0, 60),
  'anatomyLimits.anteversionLowDeg': number('deg', -60, 90),
  'anatomyLimits.anteversionHighDeg': number('deg', -60, 90),
  'anatomyLimits.torsionLowDeg': number('deg', -60, 90),
  'anatomyLimits.torsionHighDeg': number('deg', -60, 90),
  'anatomyLimits.rotationDeg': number('deg', 0, 60),
  'uncertainty.meshAccuracyMm': number('mm', 0, 5),
  ...sdPaths,
  seed: whole(0, 4_294_967_295),
} as const satisfies Readonly<Record<string, PathRule>>

export type StablePath = keyof typeof stablePaths

export const isStablePath = (path: string): path is StablePath => Object.hasOwn(stablePaths, path)
