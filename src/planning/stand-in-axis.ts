import type { Warning } from '../failure.ts'
import type { PlanInput } from './plan.ts'

/** Where hip or ankle are not on the meshes the shaft axis stands in; every cut angle of that bone then counts from it. */
export function standInWarnings({ femur, tibia, choices }: PlanInput): readonly Warning[] {
  const warnings: Warning[] = []
  if (femur.truncated)
    warnings.push({
      code: 'plan/stand-in-axis',
      message:
        'The hip is not on the mesh: femoral cut angles count from the shaft axis, not from the mechanical axis.',
      spoils: [
        'after.hkaDeg',
        'after.ldfaDeg',
        'consequences.jointLineObliquityDeg',
        'cuts.femur-distal.valgusDeg',
        'cuts.femur-distal.flexionDeg',
        'limits.hka',
        'limits.ldfa',
      ],
    })
  const followsShaft = choices.recipe !== 'mechanical' && choices.recipe !== 'anatomic'
  if (femur.shaftUnclear && followsShaft && choices.recipeOptions.kinematicFlexion === 'shaft')
    warnings.push({
      code: 'plan/stand-in-axis',
      message: `${femur.shaftUnclear} The femoral component stands without flexion instead of along it.`,
      spoils: ['cuts.femur-distal.flexionDeg'],
    })
  if (tibia.truncated)
    warnings.push({
      code: 'plan/stand-in-axis',
      message:
        'The ankle is not on the mesh: tibial cut angles count from the shaft axis, not from the mechanical axis.',
      spoils: [
        'after.hkaDeg',
        'after.mptaDeg',
        'after.slopeDeg',
        'consequences.jointLineObliquityDeg',
        'cuts.tibia.varusDeg',
        'cuts.tibia.slopeDeg',
        'limits.hka',
        'limits.mpta',
        'limits.slope',
        'limits.tray-varus',
      ],
    })
  return warnings
}
