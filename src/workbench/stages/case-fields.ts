import { type CaseDocument, newCase } from '../../casefile/document.ts'
import type { Findings } from '../../findings.ts'
import type { SiteId } from '../../planning/terms.ts'
import type { DocumentField } from './document-field.ts'

type Part = 'wear' | 'cartilage' | 'saw' | 'limits' | 'stance' | 'load' | 'bearing' | 'recipeOptions'
type NumbersOf<T> = { readonly [K in keyof T]: T[K] extends number | null ? K : never }[keyof T] & string

/** A field for one number of one part of the case. */
function partField<P extends Part>(
  part: P,
  key: NumbersOf<CaseDocument[P]>,
  field: Omit<DocumentField, 'read' | 'write' | 'initial'>,
): DocumentField {
  const read = (document: CaseDocument) => (document[part] as Readonly<Record<string, unknown>>)[key] as number | null
  const initial = read(newCase)
  return {
    ...field,
    initial,
    read,
    // A number that may not be empty falls back to what a new case has.
    write: (document, value) => ({ ...document, [part]: { ...document[part], [key]: value ?? initial } }),
  }
}

const shownPose = (findings: Findings, document: 'hipHalfSpacingMm' | 'ankleHalfSpacingMm', pose: string) =>
  findings.stance.find((stance) => stance.pose === pose)?.[document] ?? null

const wornAt = (findings: Findings, id: SiteId) => findings.sites.find((site) => site.id === id)?.wornMm ?? null

export const boneAndSawFields: readonly DocumentField[] = [
  partField('wear', 'medialMm', { label: 'Worn, medial', step: 'medial wear', quantity: 'mm', min: 0, max: 15 }),
  partField('wear', 'lateralMm', { label: 'Worn, lateral', step: 'lateral wear', quantity: 'mm', min: 0, max: 15 }),
  partField('wear', 'posteriorMedialMm', {
    label: 'Worn, posterior medial condyle',
    step: 'posterior medial wear',
    quantity: 'mm',
    min: 0,
    max: 15,
    note: 'as its compartment, unless entered',
    shown: (findings) => wornAt(findings, 'femur-posterior-medial'),
  }),
  partField('wear', 'posteriorLateralMm', {
    label: 'Worn, posterior lateral condyle',
    step: 'posterior lateral wear',
    quantity: 'mm',
    min: 0,
    max: 15,
    note: 'as its compartment, unless entered',
    shown: (findings) => wornAt(findings, 'femur-posterior-lateral'),
  }),
  partField('cartilage', 'femurMm', {
    label: 'Intact cartilage, femur',
    step: 'femoral cartilage',
    quantity: 'mm',
    min: 0,
    max: 5,
    note: 'assumed',
  }),
  partField('cartilage', 'tibiaMm', {
    label: 'Intact cartilage, tibia',
    step: 'tibial cartilage',
    quantity: 'mm',
    min: 0,
    max: 5,
    note: 'assumed',
  }),
  partField('saw', 'kerfMm', {
    label: 'Saw kerf',
    step: 'saw kerf',
    quantity: 'mm',
    by: 0.1,
    min: 0,
    max: 3,
    note: 'assumed',
  }),
]

/** How far the saw is assumed to be off, for the study of cut errors. */
export const sawErrorFields: readonly DocumentField[] = [
  partField('saw', 'angleSdDeg', {
    label: 'Angle of a cut, 1 SD',
    step: 'saw angle error',
    quantity: 'deg',
    by: 0.1,
    min: 0,
    max: 10,
    note: 'assumed; each of two angles',
  }),
  partField('saw', 'depthSdMm', {
    label: 'Depth of a cut, 1 SD',
    step: 'saw depth error',
    quantity: 'mm',
    by: 0.1,
    min: 0,
    max: 5,
    note: 'assumed',
  }),
]

export const limitFields: readonly DocumentField[] = [
  partField('limits', 'limbDeg', { label: 'Limb axis within', step: 'limb limit', quantity: 'deg', min: 0, max: 15 }),
  partField('limits', 'jointLineLowDeg', {
    label: 'Joint lines from',
    step: 'lower joint line limit',
    quantity: 'deg',
    min: 75,
    max: 95,
  }),
  partField('limits', 'jointLineHighDeg', {
    label: 'Joint lines to',
    step: 'upper joint line limit',
    quantity: 'deg',
    min: 85,
    max: 105,
  }),
]

/** Spacings belong to the pose shown: what they are without an entry depends on it. */
export const stanceFields = (pose: string): readonly DocumentField[] => [
  partField('stance', 'hipHalfSpacingMm', {
    label: 'Half hip spacing',
    step: 'hip spacing',
    quantity: 'mm',
    by: 1,
    min: 0,
    max: 200,
    shown: (findings) => shownPose(findings, 'hipHalfSpacingMm', pose),
  }),
  partField('stance', 'ankleHalfSpacingMm', {
    label: 'Half ankle spacing',
    step: 'ankle spacing',
    quantity: 'mm',
    by: 1,
    min: -200,
    max: 400,
    shown: (findings) => shownPose(findings, 'ankleHalfSpacingMm', pose),
  }),
  partField('stance', 'flexionDeg', {
    label: 'Knee flexion',
    step: 'stance flexion',
    quantity: 'deg',
    min: 0,
    max: 90,
  }),
  partField('stance', 'footRotationDeg', {
    label: 'Foot turned out',
    step: 'foot rotation',
    quantity: 'deg',
    min: -45,
    max: 60,
  }),
  partField('stance', 'jlcaDeg', {
    label: 'Standing joint line angle',
    step: 'standing joint line angle',
    quantity: 'deg',
    min: -15,
    max: 15,
    note: 'from a standing film',
  }),
]

export const loadFields: readonly DocumentField[] = [
  partField('load', 'bodyMassKg', { label: 'Body mass', step: 'body mass', quantity: 'kg', by: 1, min: 20, max: 250 }),
  partField('load', 'forceN', {
    label: 'Force on the knee',
    step: 'knee force',
    quantity: 'N',
    by: 10,
    min: 1,
    max: 20_000,
    note: 'as entered, or from body mass',
    shown: (findings) => findings.loading[0]?.loadN ?? null,
  }),
]

/** An own direction of the load beside the two that are always there. */
export const ownDirectionFields: readonly DocumentField[] = [
  partField('load', 'ownLateralDeg', {
    label: 'Own load, top lateral by',
    step: 'own load lateral',
    quantity: 'deg',
    min: -45,
    max: 45,
    note: 'none unless entered',
  }),
  partField('load', 'ownForwardDeg', {
    label: 'Own load, top forward by',
    step: 'own load forward',
    quantity: 'deg',
    min: -45,
    max: 45,
    note: 'none unless entered',
  }),
]

export const slopeField: DocumentField = partField('recipeOptions', 'slopeDeg', {
  label: 'Slope of the recipe',
  step: 'recipe slope',
  quantity: 'deg',
  min: 0,
  max: 15,
})

export const bearingFields: readonly DocumentField[] = [
  partField('bearing', 'modulusMpa', {
    label: 'Modulus',
    step: 'bearing modulus',
    quantity: 'MPa',
    by: 10,
    min: 10,
    max: 5000,
  }),
  partField('bearing', 'poisson', {
    label: 'Poisson’s ratio',
    step: 'Poisson’s ratio',
    quantity: 'ratio',
    decimals: 3,
    by: 0.01,
    min: 0,
    max: 0.499,
    note: 'the stiffness depends strongly on it',
  }),
  partField('bearing', 'femoralCoronalRadiusMm', {
    label: 'Condyle radius, coronal',
    step: 'condyle coronal radius',
    quantity: 'mm',
    min: 5,
    max: 500,
    note: 'as the family has it, or entered',
  }),
  partField('bearing', 'femoralSagittalRadiusMm', {
    label: 'Condyle radius, sagittal',
    step: 'condyle sagittal radius',
    quantity: 'mm',
    min: 5,
    max: 500,
    note: 'as the family has it, or entered',
  }),
  partField('bearing', 'femoralFlatMm', {
    label: 'Flat of the condyle',
    step: 'condyle flat',
    quantity: 'mm',
    min: 0,
    max: 40,
  }),
  partField('bearing', 'femoralEdgeAtMm', {
    label: 'Edge of the condyle begins at',
    step: 'condyle edge',
    quantity: 'mm',
    min: 1,
    max: 60,
    note: 'none unless entered',
  }),
  partField('bearing', 'femoralEdgeRadiusMm', {
    label: 'Radius of that edge',
    step: 'condyle edge radius',
    quantity: 'mm',
    min: 0.5,
    max: 100,
  }),
  partField('bearing', 'insertSagittalRadiusMm', {
    label: 'Insert radius, sagittal',
    step: 'insert sagittal radius',
    quantity: 'mm',
    min: 15,
    max: 500,
    note: 'as the family has it, or entered',
  }),
  partField('bearing', 'insertCoronalRadiusMm', {
    label: 'Insert radius, coronal',
    step: 'insert radius',
    quantity: 'mm',
    min: 15,
    max: 500,
    note: 'as the family has it, or entered',
  }),
  partField('bearing', 'tiltDeg', {
    label: 'Tilt on the bearing',
    step: 'bearing tilt',
    note: 'from plan and pose, or entered',
    shown: (findings) => findings.loading[0]?.facing.tiltDeg ?? null,
    quantity: 'deg',
    min: -5,
    max: 5,
  }),
  partField('bearing', 'rotationDeg', {
    label: 'Rotation on the bearing',
    step: 'bearing rotation',
    note: 'from plan and pose, or entered',
    shown: (findings) => findings.loading[0]?.facing.rotationDeg ?? null,
    quantity: 'deg',
    min: -20,
    max: 20,
  }),
  partField('bearing', 'shiftLateralMm', {
    label: 'Shift, lateral',
    step: 'bearing shift',
    note: 'from plan and pose, or entered',
    shown: (findings) => findings.loading[0]?.facing.shiftLateralMm ?? null,
    quantity: 'mm',
    min: -8,
    max: 8,
  }),
]
