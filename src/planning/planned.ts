import type { BoneName, Side } from '../anatomy/terms.ts'
import type { Warning } from '../failure.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import type { Rigid } from '../geometry/rigid.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Compartment, CutDeparture, CutId, FemoralCutId, Procedure, RecipeName, SiteId } from './terms.ts'

/** Something the plan takes for granted, said beside the numbers. */
export interface Assumption {
  readonly what: string
  readonly value: string
  readonly basis: string
}

/** One planned cut, in the patient frame of its bone. Angles that do not apply to a cut are null. */
export interface PlannedCut {
  readonly id: CutId
  readonly bone: BoneName
  readonly point: Vec3 | null
  /** Unit, into the kept bone. */
  readonly normal: Vec3 | null
  readonly varusDeg: number | null
  readonly valgusDeg: number | null
  readonly slopeDeg: number | null
  readonly flexionDeg: number | null
  /** Tibia: external rotation of the tray to the tibial anterior reference. */
  readonly rotationDeg: number | null
  /** Femur: external rotation of the component to the posterior condylar line. */
  readonly externalRotationDeg: number | null
  /** Along the cut normal; tibia: from the plateau point at which an entered depth starts; femur: from the medial site; the vertical cut: medially from the knee centre. */
  readonly depthMm: number | null
  readonly removedMm3: number | null
  /** How far the three volumes may be from the truth: 0 for a closed bone, null where they are withheld. */
  readonly removedBoundMm3: number | null
  readonly kerfMm3: number | null
  readonly pieceMm3: number | null
  /** Area of the face as it is sawn. */
  readonly sectionMm2: number | null
  /** Greatest and mean thickness of what the cut takes, along its normal, kerf included; mean = removed / face. */
  readonly greatestMm: number | null
  readonly meanMm: number | null
  /** Femoral cuts: how the sawn plane departs from the component's face; null for tibial cuts. */
  readonly departure: CutDeparture | null
  /** Femoral cuts: widest space between component and sawn bone, and how far bone stands into the component, both ≥ 0; null for tibial cuts and where no bone lies under the face. */
  readonly gapMm: number | null
  readonly interferenceMm: number | null
}

/** Where the femoral component stands: the numbers of its box, from which each cut may depart. Depths from the medial sites. */
export interface FemoralPlace {
  readonly valgusDeg: number
  readonly flexionDeg: number
  readonly externalRotationDeg: number
  readonly distalMm: number | null
  readonly posteriorMm: number | null
}

/** Thickness bookkeeping of one site (conventions, "Thickness bookkeeping, per site"); mm. */
export interface Site {
  readonly id: SiteId
  readonly point: Vec3
  readonly distanceMm: number
  readonly cartilageMm: number
  readonly wornMm: number
  readonly kerfMm: number
  readonly pieceMm: number
  readonly totalMm: number
  readonly componentMm: number
  readonly differenceMm: number
  /** |difference| within ±0.5 mm (common practice, no source). */
  readonly within: boolean
}

/** A value against an entered limit; never a recommendation. */
export interface Limit {
  readonly id: string
  /** null, and the status with it, where the number is withheld: a limit that cannot be judged is not held. */
  readonly value: number | null
  readonly low: number
  readonly high: number
  readonly status: 'inside' | 'caution' | 'beyond' | null
  readonly basis: string
}

/** One step of the restricted recipe and its cost. */
export interface Correction {
  readonly limit: string
  readonly bone: BoneName
  readonly deg: number
  readonly siteDeltaMm: Readonly<Record<string, number>>
  readonly gapDeltaMm: Readonly<Record<string, number>> | null
}

/** One answer of the restricted recipe: the cuts it ends at and the steps that lead there. */
export interface RestrictedAnswer {
  readonly ldfaDeg: number
  readonly mptaDeg: number
  readonly hkaDeg: number
  /** √(ΔLDFA² + ΔMPTA²) from the kinematic cuts. */
  readonly normDeg: number
  readonly corrections: readonly Correction[]
}

/** What the limits make of the kinematic cuts, both interpretations side by side. */
export interface Restriction {
  readonly kinematic: { readonly ldfaDeg: number; readonly mptaDeg: number; readonly hkaDeg: number }
  readonly ruleOfThumb: RestrictedAnswer
  readonly smallest: RestrictedAnswer
  /** The compartment that keeps difference 0. */
  readonly pivot: Compartment
}

/** The front of the knee against the native one; geometric consequence only, the patella is not judged. */
export interface Patellofemoral {
  /** Coronal angle of the groove line to the femoral mechanical axis, proximal end lateral positive. */
  readonly grooveNativeDeg: number
  readonly grooveDeg: number
  readonly grooveLateralShiftMm: number
  /** How far groove and higher ridge stand forward of the native surface (with assumed cartilage). */
  readonly grooveForwardMm: number
  readonly ridgeForwardMm: number
}

export interface PlanVolumes {
  readonly femurRemovedMm3: number | null
  readonly femurRemovedBoundMm3: number | null
  readonly tibiaRemovedMm3: number | null
  readonly tibiaRemovedBoundMm3: number | null
  readonly femurComponentMm3: number | null
  readonly tibiaComponentMm3: number | null
  /** Top of the femoral block the femoral cuts act in, y in the femur frame. */
  readonly femurBlockTopMm: number | null
}

export interface PlanImplants {
  readonly family: string
  readonly femurSize: number
  readonly femurSizeSource: 'proposed' | 'chosen'
  /** The size that would have been proposed next; null when the size was chosen. */
  readonly femurRunnerUp: number | null
  readonly tibiaSize: number
  readonly tibiaSizeSource: 'proposed' | 'chosen'
  readonly tibiaRunnerUp: number | null
  readonly insertMm: number
}

/** How the tray covers the cut bone, on the bone-side face. */
export interface Coverage {
  readonly sectionMm2: number
  readonly trayMm2: number
  readonly fraction: number
  readonly largestOverhangMm: number
  readonly largestGapMm: number
}

/** Native surfaces just touching, no ligament, no laxity. */
export interface Gaps {
  readonly extensionMedialMm: number
  readonly extensionLateralMm: number
  readonly flexionMedialMm: number
  readonly flexionLateralMm: number
  /** Gap less the components in it; positive is loose, negative overfilled. */
  readonly slackMm: {
    readonly extensionMedial: number
    readonly extensionLateral: number
    readonly flexionMedial: number
    readonly flexionLateral: number
  }
  readonly kind: 'geometric'
}

export interface AfterCuts {
  readonly hkaDeg: number | null
  readonly ldfaDeg: number
  readonly mptaDeg: number
  readonly slopeDeg: number
  /** Femoral joint line against the native one at the distal sites, proximal positive. */
  readonly jointLineShiftMedialMm: number | null
  readonly jointLineShiftLateralMm: number | null
  /** Hip centre to ankle centre with the components in touch. */
  readonly legLengthMm: number | null
}

/** Before against after where the contract's `after` has no field; geometric only. */
export interface Consequences {
  /** `after.legLengthMm` less the native leg with its intact surfaces in touch. */
  readonly legLengthChangeMm: number | null
  readonly jointLineObliquityDeg: number
  /** Tibial bearing surface against the native one at the plateau points, proximal positive. */
  readonly tibialShiftMedialMm: number | null
  readonly tibialShiftLateralMm: number | null
  /** Posterior bearing surface against the native condyles, posterior positive. */
  readonly posteriorOffsetChangeMedialMm: number | null
  readonly posteriorOffsetChangeLateralMm: number | null
  /** Cortex ahead of the anterior cut at the tip of the flange: positive notches it. */
  readonly notchMm: number | null
  readonly patellofemoral: Patellofemoral | null
}

/** What a later total knee would cost after this partial, by the same case's total plan. */
export interface Conversion {
  /** Tibial bone above the total cut that the partial has left. */
  readonly tibialBoneLeftMm3: number | null
  readonly tibialBoneLeftBoundMm3: number | null
  /** How much deeper than planned the total cut must go to clear the partial's floor. */
  readonly deeperMm: number
  /** Insert the total would then need; null when the family has none so thick. */
  readonly insertMm: number | null
  /** The same total done first needs this one. */
  readonly plainInsertMm: number
}

/** The tray as placed, in the tibia's patient frame. */
export interface PlacedTray {
  /** Centre of the bone-side face. */
  readonly centre: Vec3
  /** Unit, pointing proximally (out of the bone, towards the joint). */
  readonly normal: Vec3
  /** Unit axes of the tray in its plane. */
  readonly medial: Vec3
  readonly posterior: Vec3
  /** Outline of the bone-side face, closed (first point not repeated). */
  readonly outline: readonly Vec3[]
}

/** A component as drawn: its closed solid in its own frame and where that stands in its bone's patient frame. */
export interface PlacedComponent {
  readonly id: 'femoral' | 'tibial'
  readonly bone: BoneName
  readonly mesh: Mesh
  readonly patientFromComponent: Rigid
}

/** Everything planning knows of one case. Points and normals in the patient frame of the bone they belong to. */
export interface Plan {
  readonly side: Side
  readonly procedure: Procedure
  readonly recipe: RecipeName
  readonly cuts: readonly PlannedCut[]
  readonly femoralPlace: FemoralPlace
  /** The bone-side faces of the femoral component where it stands, normals into the bone. */
  readonly femoralFaces: Readonly<Partial<Record<FemoralCutId, Plane>>>
  readonly volumes: PlanVolumes
  readonly implants: PlanImplants
  readonly sites: readonly Site[]
  readonly coverage: Coverage | null
  readonly limits: readonly Limit[]
  /** Steps of the restricted recipe's chosen answer; none for other recipes. */
  readonly corrections: readonly Correction[] | null
  readonly restriction: Restriction | null
  readonly gaps: Gaps | null
  readonly after: AfterCuts
  readonly consequences: Consequences
  readonly tray: PlacedTray
  /** Top of the femoral block in the femur's patient frame; the femoral cuts act on its positive (distal) side only. */
  readonly femoralBlock: Plane
  /** Medial partial: the femoral cuts act on the positive (medial) side of this plane too; null for a total. */
  readonly femoralNotch: Plane | null
  /** Medial partial: what a later total would find; null for a total. */
  readonly conversion: Conversion | null
  readonly components: readonly PlacedComponent[]
  readonly assumptions: readonly Assumption[]
  readonly warnings: readonly Warning[]
}
