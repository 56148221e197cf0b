/**
 * A family of components, invented and generic. All lengths in mm. A component's own frame (right-leg form): X anterior,
 * Y proximal, Z lateral; a left component is the mirror image across Z.
 */
export interface TotalFamily {
  readonly id: string
  readonly name: string
  /** A mobile insert turns on the tray: its outline is drawn in from the tray's rim and it conforms more closely. */
  readonly bearing: 'fixed' | 'mobile'
  readonly femoral: readonly FemoralSize[]
  readonly tibial: readonly TibialSize[]
  /** Thickness of the insert at its lowest points, thinnest first. */
  readonly insertsMm: readonly number[]
}

/**
 * Femoral component. Origin where the distal bone-side plane (y = 0) meets the posterior one (x = 0), midway between
 * the sides. Dimensions run antero-posterior (Ap), medio-lateral (Ml) or in height, as the designations of
 * ISO 7207-1:2007 do (its idea only; the text was not used).
 */
export interface FemoralSize {
  readonly size: number
  /** Posterior bearing to the front of the flange, level with the distal plane. */
  readonly overallApMm: number
  readonly overallMlMm: number
  /** Bearing to bone-side plane at the lowest and rearmost points, and at the ridges of the flange. */
  readonly distalMm: number
  readonly posteriorMm: number
  readonly anteriorMm: number
  /** Heights above the distal bone-side plane. */
  readonly flangeHeightMm: number
  readonly condyleHeightMm: number
  /** How far each chamfer reaches along the distal plane from its box corner. */
  readonly posteriorChamferMm: number
  readonly anteriorChamferMm: number
  /** Lean of the anterior plane, opening proximally, so that the component can be seated from below. */
  readonly flangeTiltDeg: number
  readonly flangeTaper: number
  readonly distalRadiusMm: number
  readonly posteriorRadiusMm: number
  readonly coronalRadiusMm: number
  /** Distance of the two condylar crests. */
  readonly crestSpacingMm: number
  readonly notchWidthMm: number
}

/** Tibial tray with insert. Origin at the centre of the bone-side face (y = 0). */
export interface TibialSize {
  readonly size: number
  readonly overallMlMm: number
  readonly medialApMm: number
  readonly lateralApMm: number
  readonly trayMm: number
  /** Distance of the insert's two lowest points. */
  readonly dwellSpacingMm: number
  readonly notchWidthMm: number
  readonly notchDepthMm: number
  /** Insert outline against the tray's: 1 fixed, less for a mobile one. */
  readonly insertScale: number
  readonly insertCoronalRadiusMm: number
  readonly insertSagittalRadiusMm: number
  /** Greatest height of the insert above its lowest points, at the rim and between the compartments. */
  readonly lipMm: number
}

/** Antero-posterior length of the femoral box on the bone side, at the level of the distal plane. */
export const boxApMm = (s: FemoralSize): number =>
  s.overallApMm - s.posteriorMm - s.anteriorMm / Math.cos((s.flangeTiltDeg * Math.PI) / 180)
