import type { Frame } from '../src/geometry/rigid.ts'
import type { Vec3 } from '../src/geometry/vec.ts'

/** What is true of a synthetic leg, measured on its signed-distance functions. Points in the frame of the meshes. */
export interface LegTruth {
  readonly side: 'left' | 'right'
  readonly femur: FemurTruth
  readonly tibia: TibiaTruth
  readonly angles: AnglesTruth
}

export interface AxisTruth {
  readonly point: Vec3
  /** Unit, proximal (shafts) or towards the subject's right (condylar cylinder). */
  readonly direction: Vec3
}

export interface FemurTruth {
  readonly landmarks: {
    readonly hipCentre: Vec3
    readonly femoralKneeCentre: Vec3
    readonly notchCentre: Vec3
    readonly condyleDistalMedial: Vec3
    readonly condyleDistalLateral: Vec3
    readonly condylePosteriorMedial: Vec3
    readonly condylePosteriorLateral: Vec3
    readonly epicondyleMedial: Vec3
    readonly epicondyleLateral: Vec3
  }
  /** X anterior, Y proximal, Z to the subject's right, origin at the knee centre. */
  readonly frame: Frame
  readonly head: { readonly centre: Vec3; readonly radiusMm: number }
  readonly condylarCylinder: AxisTruth & { readonly radiusMm: number; readonly rmsMm: number }
  readonly distalShaft: AxisTruth
  readonly shaft: AxisTruth
}

export interface PlateauTruth {
  readonly point: Vec3
  readonly normal: Vec3
  readonly areaMm2: number
  readonly rmsMm: number
}

export interface TibiaTruth {
  readonly landmarks: {
    readonly tibialKneeCentre: Vec3
    readonly spinesCentre: Vec3
    readonly spineMedial: Vec3
    readonly spineLateral: Vec3
    readonly plateauMedial: Vec3
    readonly plateauLateral: Vec3
    readonly posteriorNotch: Vec3
    readonly tubercle: Vec3
    readonly tubercleMedialThird: Vec3
    readonly malleolusMedial: Vec3
    readonly ankleCentre: Vec3
  }
  readonly frame: Frame
  readonly medial: PlateauTruth
  readonly lateral: PlateauTruth
  readonly plafondNormal: Vec3
  readonly proximalShaft: AxisTruth
}

/** Degrees, signs of the conventions. */
export interface AnglesTruth {
  readonly hkaDeg: number
  /** The same with the femoral knee centre as the one centre of both mechanical axes. */
  readonly hkaOneCentreDeg: number
  readonly ldfaDeg: number
  readonly mptaDeg: number
  readonly mptaPlainDeg: number
  readonly jlcaDeg: number
  readonly jlcaLinesDeg: number
  /** MPTA − LDFA, negative is varus. */
  readonly arithmeticHkaDeg: number
  readonly jointLineObliquityDeg: number
  readonly slopeMedialDeg: number
  readonly slopeLateralDeg: number
  /** Epicondyle line against the posterior condylar line in the axial plane, external positive. */
  readonly posteriorCondylarDeg: number
  readonly kneePose: {
    readonly flexionDeg: number
    readonly varusDeg: number
    readonly externalRotationDeg: number
    /** From the femoral to the tibial knee centre, along the joint's three axes, mm. */
    readonly lateralMm: number
    readonly anteriorMm: number
    readonly proximalMm: number
  }
}
