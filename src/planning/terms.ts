import type { OwnFamily } from '../implants/families.ts'

export type Procedure = 'total' | 'medial-partial'
export const recipeNames = ['mechanical', 'anatomic', 'kinematic', 'restricted'] as const
export type RecipeName = (typeof recipeNames)[number]

/** null means "as the recipe says". Angles are those of the conventions, degrees; lengths mm. */
export interface CutOverrides {
  readonly tibia: {
    readonly varusDeg: number | null
    readonly slopeDeg: number | null
    /** Distance along the cut normal from the plateau point that `tibialDepthFrom` names to the plane. */
    readonly depthMm: number | null
    /** External rotation of the tray about the tibial axis. */
    readonly rotationDeg: number | null
    /** Tray moved from its proposed place. */
    readonly shiftLateralMm: number | null
    readonly shiftAnteriorMm: number | null
    /** Medial partial: distance of the vertical cut medially from the tibial knee centre. */
    readonly verticalMm: number | null
  }
  readonly femur: {
    readonly valgusDeg: number | null
    readonly flexionDeg: number | null
    /** External rotation to the posterior condylar line. */
    readonly rotationDeg: number | null
    /** Distance along the cut normal from the medial distal site to the distal plane. */
    readonly distalMm: number | null
    /** Distance along the cut normal from the medial posterior site to the posterior plane. */
    readonly posteriorMm: number | null
    /** Component moved from its proposed place. */
    readonly shiftLateralMm: number | null
  }
  /** Femoral cuts sawn elsewhere than the component's own box asks; the component stays where the box puts it. */
  readonly departures: FemoralDepartures
}

/** Femoral cuts in the order in which they are sawn (conventions). */
export const femoralCutIds = [
  'femur-distal',
  'femur-anterior',
  'femur-posterior',
  'femur-chamfer-posterior',
  'femur-chamfer-anterior',
] as const
export type FemoralCutId = (typeof femoralCutIds)[number]

/** What a sentence calls each femoral cut. */
export const femoralCutNames: Readonly<Record<FemoralCutId, string>> = {
  'femur-distal': 'distal',
  'femur-anterior': 'anterior',
  'femur-posterior': 'posterior',
  'femur-chamfer-posterior': 'posterior chamfer',
  'femur-chamfer-anterior': 'anterior chamfer',
}

export const isFemoral = (id: CutId): id is FemoralCutId => id.startsWith('femur')

/** How one femoral cut departs from the component's face it belongs to, about the middle of that face. All 0: it lies on it. */
export interface CutDeparture {
  /** Into the kept bone, along the face's normal. */
  readonly deeperMm: number
  /** Turned as flexion turns the component: anterior edge of the distal cut lower, posterior chamfer steeper, anterior one flatter. */
  readonly flexionDeg: number
  /** Turned so that the medial edge goes deeper into the kept bone. */
  readonly medialDeg: number
}

export type FemoralDepartures = Readonly<Record<FemoralCutId, CutDeparture>>

/** A cut on its component's face. */
export const onFace: CutDeparture = { deeperMm: 0, flexionDeg: 0, medialDeg: 0 }

export const departs = ({ deeperMm, flexionDeg, medialDeg }: CutDeparture): boolean =>
  deeperMm !== 0 || flexionDeg !== 0 || medialDeg !== 0

/** Every cut on its component's face. */
export const noDepartures: FemoralDepartures = {
  'femur-distal': onFace,
  'femur-anterior': onFace,
  'femur-posterior': onFace,
  'femur-chamfer-posterior': onFace,
  'femur-chamfer-anterior': onFace,
}

/** Every cell as the recipe says. */
export const noOverrides: CutOverrides = {
  tibia: {
    varusDeg: null,
    slopeDeg: null,
    depthMm: null,
    rotationDeg: null,
    shiftLateralMm: null,
    shiftAnteriorMm: null,
    verticalMm: null,
  },
  femur: {
    valgusDeg: null,
    flexionDeg: null,
    rotationDeg: null,
    distalMm: null,
    posteriorMm: null,
    shiftLateralMm: null,
  },
  departures: noDepartures,
}

export interface RecipeOptions {
  readonly mechanicalRotation: 'three-external' | 'epicondylar'
  /** Slope of the mechanical and anatomic recipes. */
  readonly slopeDeg: number
  /** Release the 0…10 limit on the kinematic slope. */
  readonly slopeReleased: boolean
  readonly restrictedAnswer: 'rule-of-thumb' | 'smallest'
  readonly kinematicFlexion: 'shaft' | 'mechanical'
  /** Where an entered tibial depth starts; `mean`: midway between both plateau points. A medial partial starts medially. */
  readonly tibialDepthFrom: 'lateral' | 'medial' | 'mean'
  /** Which end of the femoral box is held when the size does not fit: the posterior condyles or the anterior cortex. */
  readonly femoralReferencing: 'posterior' | 'anterior'
}

export interface AlignmentLimits {
  /** |HKA − 180| at most this. */
  readonly limbDeg: number
  /** LDFA and MPTA within these. */
  readonly jointLineLowDeg: number
  readonly jointLineHighDeg: number
}

/** The two halves of the knee. */
export type Compartment = 'medial' | 'lateral'
export const compartments = ['medial', 'lateral'] as const

export const siteIds = [
  'tibia-medial',
  'tibia-lateral',
  'femur-distal-medial',
  'femur-distal-lateral',
  'femur-posterior-medial',
  'femur-posterior-lateral',
] as const
export type SiteId = (typeof siteIds)[number]

/** Further places where a piece may be measured: ahead of and behind the medial site. */
export const edgeReadingIds = ['tibia-front', 'tibia-back', 'femur-distal-front', 'femur-distal-back'] as const
export type EdgeReadingId = (typeof edgeReadingIds)[number]

/** Thickness measured on the pieces, mm, and the 1 SD of such a measurement. */
export interface PieceReadings {
  readonly sdMm: number
  readonly pieceMm: Readonly<Partial<Record<SiteId | EdgeReadingId, number>>>
}

export type CutId = 'tibia' | 'tibia-vertical' | FemoralCutId

/** Choices of the case that planning reads. */
export interface PlanChoices {
  readonly procedure: Procedure
  readonly recipe: RecipeName
  readonly recipeOptions: RecipeOptions
  readonly cuts: CutOverrides
  readonly implants: {
    readonly family: string
    /** Size index 1…n; null: proposed. */
    readonly femurSize: number | null
    readonly tibiaSize: number | null
    readonly insertMm: number | null
    /** A family of the case's own, edited as a table; used when `family` names it. */
    readonly own: OwnFamily | null
  }
  /** Total wear (cartilage first, then bone). Posterior condyles: null, as the rest of their compartment. */
  readonly wear: {
    readonly medialMm: number
    readonly lateralMm: number
    readonly posteriorMedialMm: number | null
    readonly posteriorLateralMm: number | null
  }
  /** Assumed intact cartilage, mm. */
  readonly cartilage: { readonly femurMm: number; readonly tibiaMm: number }
  readonly saw: {
    readonly kerfMm: number
    /** Assumed 1 SD of a cut's angle (each of two) and depth, for "what if the saw is off". */
    readonly angleSdDeg: number
    readonly depthSdMm: number
  }
  readonly limits: AlignmentLimits
  readonly meshSurface: 'bone' | 'cartilage'
}
