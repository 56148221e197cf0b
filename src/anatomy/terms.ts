import type { RepairStep } from '../geometry/repair.ts'
import type { Frame } from '../geometry/rigid.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { CoronalType } from './coronal-type.ts'

export type Side = 'left' | 'right'
export type BoneName = 'femur' | 'tibia'
/** Frame declared for the files. `unknown`: femur and tibia need share no frame. */
export type PatientFrame = 'lps' | 'ras' | 'unknown'

/** Side factor s of the conventions: +1 right, −1 left; lateral = s·Z. */
export const sideFactor = (side: Side): 1 | -1 => (side === 'right' ? 1 : -1)

/** Landmark ids of the contract; each point is in the patient frame of its own bone's file, mm. */
const femoralIds = [
  'hipCentre',
  'femoralKneeCentre',
  'condyleDistalMedial',
  'condyleDistalLateral',
  'condylePosteriorMedial',
  'condylePosteriorLateral',
  'epicondyleMedial',
  'epicondyleLateral',
  'notchCentre',
] as const
const tibialIds = [
  'tibialKneeCentre',
  'plateauMedial',
  'plateauLateral',
  'spinesCentre',
  'posteriorNotch',
  'tubercle',
  'tubercleMedialThird',
  'malleolusMedial',
  'malleolusLateral',
  'ankleCentre',
] as const
export const landmarkIds = [...femoralIds, ...tibialIds] as const
export type LandmarkId = (typeof landmarkIds)[number]

const femoral: ReadonlySet<LandmarkId> = new Set(femoralIds)

/** Whose patient frame a landmark is in. */
export const boneOfLandmark = (id: LandmarkId): BoneName => (femoral.has(id) ? 'femur' : 'tibia')

/** The chosen definition where the conventions allow several; a field of the case, shown beside the number. */
export interface References {
  readonly femoralKneeCentre: 'notch' | 'epicondyles'
  readonly femoralMedioLateral: 'posterior-condylar' | 'epicondylar' | 'condylar-cylinder'
  readonly tibialKneeCentre: 'spines' | 'plateaus'
  readonly ankleCentre: 'plafond' | 'malleoli'
  readonly tibialAnterior: 'pcl-tubercle' | 'posterior-tangent' | 'femoral'
  readonly plateauPoint: 'centroid' | 'deepest'
  readonly slopeAxis: 'mechanical' | 'proximal-shaft'
  readonly meshSurface: 'bone' | 'cartilage'
}

export const defaultReferences: References = {
  femoralKneeCentre: 'notch',
  femoralMedioLateral: 'posterior-condylar',
  tibialKneeCentre: 'spines',
  ankleCentre: 'plafond',
  tibialAnterior: 'pcl-tubercle',
  plateauPoint: 'centroid',
  slopeAxis: 'mechanical',
  meshSurface: 'bone',
}

/** A small file beside the knee's that carries one joint centre: the head alone, the distal tibia alone, the fibula. */
export type CompanionName = 'femoral-head' | 'distal-tibia' | 'fibula'
export const companionNames = ['femoral-head', 'distal-tibia', 'fibula'] as const satisfies readonly CompanionName[]

/** The companion file a landmark was read from, and how well it fits. */
export interface FromCompanion {
  readonly part: CompanionName
  readonly file: {
    readonly sha256: string
    readonly name: string
    /** Multiply file coordinates by this to get mm. */
    readonly unitFactor: number
    readonly repairs: readonly RepairStep[]
  }
  /** RMS of the fit, mm; null where no fit is made. */
  readonly residualMm: number | null
  /** 0…1, of the landmark on that file. */
  readonly confidence: number
  /** Plain reason when it is low, else null. */
  readonly reason: string | null
  /** Of the head's sphere, mm; null on other files. */
  readonly radiusMm: number | null
}

export interface LandmarkOverride {
  readonly mm: Vec3
  /** `set`: moved by hand; `given`: coordinates entered, or read from a companion file (hip or ankle of a truncated scan). */
  readonly source: 'set' | 'given'
  readonly from?: FromCompanion
}
export type LandmarkOverrides = Readonly<Partial<Record<LandmarkId, LandmarkOverride>>>

/** What the finder saw at a landmark, for a confidence that falls when the landmark is wrong; null where it does not apply. */
export interface LandmarkEvidence {
  /** How far the surface lies from the smooth shape fitted about the landmark, RMS, mm. */
  readonly fitRmsMm: number | null
  /** Curvature of that shape across its extremum, the smaller of the two, 1/mm: near 0 the place is a flat dome or a ridge. */
  readonly sharpnessPerMm: number | null
  /** Distance to where a second, independent way puts the same landmark, mm. */
  readonly disagreementMm: number | null
  /** Mean edge of the triangles about the landmark, mm. */
  readonly edgeMm: number | null
  /** Estimated surface noise of the whole bone, standard deviation along the normal, mm. */
  readonly noiseMm: number | null
}

export interface Landmark {
  readonly mm: Vec3
  /** 0…1; falls when the residual, the shape or the neighbourhood does not fit. */
  readonly confidence: number
  /** RMS of the fit or of the local surface about the point, mm; null where no fit was made. */
  readonly residualMm: number | null
  /** Assumed 1 SD of the landmark, mm. */
  readonly sdMm: number | null
  readonly source: 'found' | 'set' | 'given'
  /** Plain reason when confidence is low, else null. */
  readonly reason: string | null
  /** Absent on landmarks set by hand or given. */
  readonly evidence?: LandmarkEvidence
  /** The companion file it was read from; absent on all others. */
  readonly from?: { readonly part: CompanionName; readonly file: string }
}
export type Landmarks = Readonly<Partial<Record<LandmarkId, Landmark>>>

/** A straight axis in the patient frame; `direction` is a unit vector pointing proximally. */
export interface Axis {
  readonly point: Vec3
  readonly direction: Vec3
}

/** Line of the trochlear groove (definition in DEVELOPERS.md); patient frame, mm, degrees. */
export interface TrochlearGroove {
  /** Bottoms of the groove, from the notch forwards and up. */
  readonly points: readonly Vec3[]
  /** Lean of their line in the coronal plane against the mechanical axis, proximal end lateral positive. */
  readonly proximalLateralDeg: number
  /** Where that line passes the knee centre's level, lateral of it positive. */
  readonly lateralMm: number
  /** What the bottoms leave over the line. */
  readonly rmsMm: number
  /** Deepest bottom under the lower of its two ridges. */
  readonly depthMm: number
  /** Stretch about the condylar cylinder's axis, degrees from distal towards the front. */
  readonly fromDeg: number
  readonly toDeg: number
}

export interface EpicondylarSulcus {
  readonly mm: Vec3
  /** Under the lower of its two shoulders. */
  readonly depthMm: number
}

/** What the shape of a femur says beyond its landmarks; patient frame, mm. null where the scan does not show it. */
export interface FemoralShape {
  readonly groove: TrochlearGroove | null
  /** Of the medial epicondyle. */
  readonly sulcus: EpicondylarSulcus | null
  /** Unit, along the neck from the head centre into the shaft. */
  readonly neck: Vec3 | null
  /** Foremost point of the trochlear ridges. */
  readonly anteriorRidge: Vec3 | null
  /** Farthest of the shaft's middle from the chord of its ends, with its anterior and lateral parts. */
  readonly bow: {
    readonly mm: number
    readonly anteriorMm: number
    readonly lateralMm: number
    readonly chordMm: number
  } | null
  /** The section centroids the bow is told from, distal first; absent where the shaft is not on the scan. For drawing. */
  readonly shaftMiddle?: readonly Vec3[]
}

/** Everything found on one femur. Points, axes and frame in the patient frame of the femur's file. */
export interface FemurAnatomy {
  readonly side: Side
  /** The scan is too short for its shape to tell the side, and none was declared: `side` is a guess that must not be stated. */
  readonly sideUnclear?: boolean
  /** Noise of the surface along its normal, SD, mm; absent where the surface was not read. */
  readonly noiseMm?: number
  readonly landmarks: Landmarks
  /** X anterior, Y proximal (knee centre → hip centre), Z to the subject's right, origin at the knee centre. */
  readonly frame: Frame
  readonly head: { readonly centre: Vec3; readonly radiusMm: number; readonly rmsMm: number } | null
  readonly condylarCylinder: {
    readonly point: Vec3
    /** Unit, towards the subject's right. */
    readonly direction: Vec3
    readonly radiusMm: number
    readonly rmsMm: number
  } | null
  /** Distal third of the shaft: the kinematic recipe's flexion reference. */
  readonly distalShaft: Axis
  /** Why the surface does not tell the shaft's direction (the axis is then a stand-in), else absent. */
  readonly shaftUnclear?: string
  /** How far the axis of a shaft that the scan cuts off may lie off the whole one's, per direction, 1 SD; absent on a whole bone. */
  readonly shaftTiltDeg?: number
  readonly shaft: Axis
  /** Hip not on the mesh; the shaft axis stands in for Y. */
  readonly truncated: boolean
  /** Curvature of the epicondyles' caps, 1/mm; absent where they were not read. */
  readonly epicondyleCaps?: { readonly medialPerMm: number; readonly lateralPerMm: number }
  /** Its landmarks as found and judged without a hand; absent where nothing was set or entered. */
  readonly foundAlone?: Landmarks
  /** Absent until the whole bone has been looked at. */
  readonly shape?: FemoralShape
}

/** Load-bearing patch of one plateau (definition in DEVELOPERS.md). */
export interface PlateauPatch {
  /** Area centroid projected on the surface (or the deepest point when that reference is chosen). */
  readonly point: Vec3
  /** Unit normal of the plane fitted to the patch, pointing proximally. */
  readonly normal: Vec3
  readonly areaMm2: number
  readonly rmsMm: number
  /** Where the surface counts by one half, closed; empty or absent where it is not told. For drawing. */
  readonly border?: readonly Vec3[]
  /** What the plateau is off a smooth surface beyond its noise, RMS, mm, where that is more than plateaus usually are; else null. */
  readonly unevenMm?: number | null
  /** Why the surface does not tell this plateau's slope (the normal is then a stand-in), else null. */
  readonly slopeUnclear?: string | null
}

/** Everything found on one tibia. Points, axes and frame in the patient frame of the tibia's file. */
export interface TibiaAnatomy {
  readonly side: Side
  /** The scan is too short for its shape to tell the side, and none was declared: `side` is a guess that must not be stated. */
  readonly sideUnclear?: boolean
  /** Noise of the surface along its normal, SD, mm; absent where the surface was not read. */
  readonly noiseMm?: number
  readonly landmarks: Landmarks
  /** X anterior, Y proximal (ankle centre → knee centre), Z to the subject's right, origin at the knee centre. */
  readonly frame: Frame
  readonly medial: PlateauPatch
  readonly lateral: PlateauPatch
  readonly proximalShaft: Axis
  /** How far the axis of a shaft that the scan cuts off may lie off the whole one's, per direction, 1 SD; absent on a whole bone. */
  readonly shaftTiltDeg?: number
  readonly truncated: boolean
  /** What the other definitions stand on; absent where the bone was not read. */
  readonly otherwise?: TibiaOtherwise
  /** Its landmarks as found and judged without a hand; absent where nothing was set or entered. */
  readonly foundAlone?: Landmarks
}

/** What a tibia's definitions that are not in use stand on, in the frame as it was found; patient frame, mm. */
export interface TibiaOtherwise {
  /** Centre of the plafond; null where no file shows it. */
  readonly plafond: Vec3 | null
  /** The bone's own file shows its ankle. */
  readonly ankleShown: boolean
  /** Unit, forward: square to the tangent behind the condyles. */
  readonly posteriorTangentForward: Vec3
  readonly centroids: { readonly medial: Vec3; readonly lateral: Vec3 }
  readonly deepest: { readonly medial: Vec3; readonly lateral: Vec3 }
}

/** Angles of the contract, degrees; null where withheld (a warning says why). */
export interface KneeAngles {
  readonly hkaDeg: number | null
  readonly hkaOneCentreDeg: number | null
  readonly ldfaDeg: number | null
  readonly mptaDeg: number | null
  readonly mptaPlainDeg: number | null
  readonly jlcaDeg: number | null
  readonly jlcaLinesDeg: number | null
  readonly arithmeticHkaDeg: number | null
  readonly jointLineObliquityDeg: number | null
  readonly coronalType: CoronalType | null
  readonly slopeMedialDeg: number | null
  readonly slopeLateralDeg: number | null
  readonly posteriorCondylarDeg: number | null
  /** By our own definition (`posteriorDistalFemoralDeg`). */
  readonly pdfaDeg: number | null
  /** Of the neck's axis against the posterior condylar line, head ahead positive. */
  readonly anteversionDeg: number | null
  /** Malleolar line against the line of the plateau points, external positive. */
  readonly tibialTorsionDeg: number | null
  readonly kneePose: {
    readonly flexionDeg: number
    readonly varusDeg: number
    readonly externalRotationDeg: number
    /** From the femoral to the tibial knee centre along the three axes of the joint, mm; see `JointPose`. */
    readonly lateralMm: number
    readonly anteriorMm: number
    readonly proximalMm: number
  } | null
}
