import type { FemurAnatomy, KneeAngles, TibiaAnatomy } from './terms.ts'

/** Where anatomy stops being ordinary; fields of the case. Common practice, no source, unless said. */
export interface AnatomyLimits {
  /** Arithmetic HKA beyond this either way: severe constitutional varus or valgus. */
  readonly constitutionalDeg: number
  readonly obliquityLowDeg: number
  readonly obliquityHighDeg: number
  /** Of the femoral to the tibial joint line as the files lie, either way. */
  readonly convergenceDeg: number
  readonly slopeLowDeg: number
  readonly slopeHighDeg: number
  /** Sagitta of the femoral shaft between 0.20 and 0.80 of its length. */
  readonly bowMm: number
  readonly anteversionLowDeg: number
  readonly anteversionHighDeg: number
  readonly torsionLowDeg: number
  readonly torsionHighDeg: number
  /** Tibia against femur as the files lie, either way. */
  readonly rotationDeg: number
}

export const defaultAnatomyLimits: AnatomyLimits = {
  constitutionalDeg: 5,
  obliquityLowDeg: 168,
  obliquityHighDeg: 183,
  convergenceDeg: 6,
  slopeLowDeg: 0,
  slopeHighDeg: 12,
  bowMm: 10,
  anteversionLowDeg: 0,
  anteversionHighDeg: 40,
  torsionLowDeg: 10,
  torsionHighDeg: 50,
  rotationDeg: 15,
}

export const flagIds = [
  'constitutional-varus',
  'constitutional-valgus',
  'joint-line-obliquity',
  'joint-line-convergence',
  'slope-medial',
  'slope-lateral',
  'femoral-bow',
  'anteversion',
  'tibial-torsion',
  'rotational-mismatch',
  'femoral-size',
  'tibial-size',
] as const
export type FlagId = (typeof flagIds)[number]

/** Something about this knee for which the plain recipe was not made. */
export interface AnatomyFlag {
  readonly id: FlagId
  readonly value: number
  readonly unit: 'deg' | 'mm'
  readonly low: number | null
  readonly high: number | null
  /** Findings path of the number; null where it stands nowhere else. */
  readonly path: string | null
  /** One plain sentence. */
  readonly message: string
  /** What it changes further on. */
  readonly changes: string
  readonly basis: string
  /** Why the number itself may be wrong on this mesh, else null. */
  readonly doubt: string | null
}

const practice = 'common practice, no source; editable in the case'

/** The flags that landmarks and angles raise, each against the case's own limits. Withheld angles raise none. */
export function anatomyFlags(
  { femur, tibia }: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy },
  angles: KneeAngles,
  limits: AnatomyLimits,
): readonly AnatomyFlag[] {
  const flags: AnatomyFlag[] = []
  const outside = (
    flag: Omit<AnatomyFlag, 'value' | 'basis' | 'doubt'> & {
      readonly value: number | null
      readonly doubt?: string | null
    },
  ) => {
    const { value, low, high, doubt = null } = flag
    if (value === null || ((low === null || value >= low) && (high === null || value <= high))) return
    flags.push({ ...flag, value, doubt, basis: practice })
  }
  const aHka = angles.arithmeticHkaDeg
  outside({
    id: 'constitutional-varus',
    value: aHka,
    unit: 'deg',
    low: -limits.constitutionalDeg,
    high: null,
    path: 'angles.arithmeticHkaDeg',
    message: `Severe constitutional varus: arithmetic HKA ${said(aHka)}.`,
    changes:
      'Mechanical cuts take markedly more laterally on the tibia; the kinematic recipe leaves the limb in varus and the restricted one corrects it. Beyond 8° the arithmetic angle itself errs by 1.3° more (MacDessi et al., Bone Jt Open 2020;1(7):339).',
  })
  outside({
    id: 'constitutional-valgus',
    value: aHka,
    unit: 'deg',
    low: null,
    high: limits.constitutionalDeg,
    path: 'angles.arithmeticHkaDeg',
    message: `Severe constitutional valgus: arithmetic HKA ${said(aHka)}.`,
    changes:
      'Mechanical cuts take markedly more medially on the femur; the kinematic recipe leaves the limb in valgus and the restricted one corrects it.',
  })
  const obliquity = angles.jointLineObliquityDeg
  outside({
    id: 'joint-line-obliquity',
    value: obliquity,
    unit: 'deg',
    low: limits.obliquityLowDeg,
    high: limits.obliquityHighDeg,
    path: 'angles.jointLineObliquityDeg',
    message: `Marked obliquity of the joint line: MPTA + LDFA ${said(obliquity)}.`,
    changes:
      'Square cuts move the joint line of one compartment up and of the other down; kinematic cuts may leave the entered joint line limits, and the tray stands oblique to the floor in more poses.',
  })
  const convergence = angles.jlcaLinesDeg
  outside({
    id: 'joint-line-convergence',
    value: convergence,
    unit: 'deg',
    low: -limits.convergenceDeg,
    high: limits.convergenceDeg,
    path: 'angles.jlcaLinesDeg',
    message: `The joint is open on its ${(convergence ?? 0) > 0 ? 'lateral' : 'medial'} side as the files lie: joint line convergence ${said(convergence)}.`,
    changes:
      'HKA holds this beside what the bones’ own shape gives, and the two gaps part by it. It may be worn bone, a lax ligament, or a bone that was moved in its file. Arithmetic HKA, LDFA and MPTA do not depend on it.',
  })
  for (const [side, patch, value] of [
    ['medial', tibia.medial, angles.slopeMedialDeg],
    ['lateral', tibia.lateral, angles.slopeLateralDeg],
  ] as const)
    outside({
      id: `slope-${side}`,
      value,
      unit: 'deg',
      low: limits.slopeLowDeg,
      high: limits.slopeHighDeg,
      path: side === 'medial' ? 'angles.slopeMedialDeg' : 'angles.slopeLateralDeg',
      message: `Extreme slope of the ${side} plateau: ${said(value)}.`,
      changes:
        side === 'medial'
          ? 'The kinematic slope is held to 0…10° unless released, so bone comes off unevenly from front to back and the flexion gap changes.'
          : 'A cut at the medial slope takes unevenly from the lateral plateau from front to back.',
      doubt:
        patch.rmsMm > coarsePatchMm
          ? `The plateau’s surface leaves ${patch.rmsMm.toFixed(1)} mm to its plane: on a coarse or uneven mesh the slope may be the mesh’s.`
          : null,
    })
  const bow = femur.shape?.bow ?? null
  outside({
    id: 'femoral-bow',
    value: bow === null ? null : bow.mm,
    unit: 'mm',
    low: null,
    high: limits.bowMm,
    path: null,
    message: `Large bow of the femoral shaft: ${bow ? bow.mm.toFixed(1) : '–'} mm over ${bow ? bow.chordMm.toFixed(0) : '–'} mm, ${bow ? direction(bow) : ''}.`,
    changes:
      'Distal shaft axis and mechanical axis part: a distal cut square to the shaft is flexed to the mechanical axis, a rod along the canal would lie otherwise, and the flange may notch or stand off in front.',
  })
  const { anteversionDeg, tibialTorsionDeg } = angles
  outside({
    id: 'anteversion',
    value: anteversionDeg,
    unit: 'deg',
    low: limits.anteversionLowDeg,
    high: limits.anteversionHighDeg,
    path: 'angles.anteversionDeg',
    message: `Femoral anteversion out of the ordinary: ${said(anteversionDeg)}.`,
    changes: 'The knee may not face forward when the hip does: the standing picture supposes that it does.',
  })
  outside({
    id: 'tibial-torsion',
    value: tibialTorsionDeg,
    unit: 'deg',
    low: limits.torsionLowDeg,
    high: limits.torsionHighDeg,
    path: 'angles.tibialTorsionDeg',
    message: `Tibial torsion out of the ordinary: ${said(tibialTorsionDeg)}.`,
    changes:
      'Foot and knee face apart: a slope set by the foot’s direction becomes varus or valgus of the cut (7° of slope turned by 20° gives 2.4°).',
  })
  const rotation = angles.kneePose?.externalRotationDeg ?? null
  outside({
    id: 'rotational-mismatch',
    value: rotation,
    unit: 'deg',
    low: -limits.rotationDeg,
    high: limits.rotationDeg,
    path: 'angles.kneePose.externalRotationDeg',
    message: `Rotational mismatch: the tibia’s front stands ${said(rotation)} external to the femur’s as the files lie.`,
    changes:
      'Femoral component and tray set by their own bones stand turned against each other by this, which moves contact on the bearing; one of the two references may be wrong.',
  })
  return flags
}

/** A patch plane that leaves more than this was fitted to a coarse or worn plateau, mm. */
const coarsePatchMm = 0.6

const said = (deg: number | null): string => (deg === null ? '–' : `${deg.toFixed(1).replace('-', '−')}°`)

function direction({ anteriorMm, lateralMm }: { readonly anteriorMm: number; readonly lateralMm: number }): string {
  const front = `${Math.abs(anteriorMm).toFixed(1)} mm to the ${anteriorMm >= 0 ? 'front' : 'back'}`
  return `${front}, ${Math.abs(lateralMm).toFixed(1)} mm ${lateralMm >= 0 ? 'laterally' : 'medially'}`
}
