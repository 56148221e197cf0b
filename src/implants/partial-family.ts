import type { CondyleRadii } from './sagittal-profile.ts'

/**
 * A family of medial partial components, invented and generic; mm. Frames as for the total: X anterior, Y proximal, Z lateral
 * (right-leg form).
 */
export interface PartialFamily {
  readonly id: string
  readonly name: string
  readonly femoral: readonly PartialFemoralSize[]
  readonly tibial: readonly PartialTibialSize[]
  readonly insertsMm: readonly number[]
}

/** Origin where the distal bone-side plane (y = 0) meets the posterior one (x = 0), midway across. */
export interface PartialFemoralSize extends CondyleRadii {
  readonly size: number
  /** Length of the distal bone side from the posterior plane to the front tip. */
  readonly distalLengthMm: number
  readonly overallMlMm: number
  readonly condyleHeightMm: number
  readonly posteriorChamferMm: number
  readonly coronalRadiusMm: number
}

/** Origin at the middle of the lateral edge, which stands at the vertical cut, on the bone-side face (y = 0). */
export interface PartialTibialSize {
  readonly size: number
  readonly overallApMm: number
  readonly overallMlMm: number
  readonly trayMm: number
  readonly insertCoronalRadiusMm: number
  readonly insertSagittalRadiusMm: number
  readonly lipMm: number
}
