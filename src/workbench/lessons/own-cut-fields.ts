import { femoralCutFields, tibialCutFields } from '../stages/cut-fields.ts'
import type { DocumentField } from '../stages/document-field.ts'

/** Number fields for the stable paths that a trainee may be asked for, under names that stand without their panel. */
export const ownCutFields: Readonly<Record<string, DocumentField>> = {
  'cuts.tibia.varusDeg': { ...tibialCutFields.varus, label: 'Tibia, varus' },
  'cuts.tibia.slopeDeg': { ...tibialCutFields.slope, label: 'Tibia, slope' },
  'cuts.tibia.depthMm': { ...tibialCutFields.depth, label: 'Tibia, depth' },
  'cuts.femur.valgusDeg': { ...femoralCutFields.valgus, label: 'Femur, valgus' },
  'cuts.femur.flexionDeg': { ...femoralCutFields.flexion, label: 'Femur, flexion' },
  'cuts.femur.distalMm': { ...femoralCutFields.depth, label: 'Femur, depth' },
  'cuts.femur.rotationDeg': { ...femoralCutFields.rotation, label: 'Femur, rotation' },
}
