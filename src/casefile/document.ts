import { type AnatomyLimits, defaultAnatomyLimits } from '../anatomy/flags.ts'
import { defaultMeshAccuracyMm, noSdEntered, type UncertaintyChoices } from '../anatomy/landmark-sd.ts'
import {
  defaultReferences,
  type LandmarkOverrides,
  type PatientFrame,
  type References,
  type Side,
} from '../anatomy/terms.ts'
import type { RepairStep } from '../geometry/repair.ts'
import { type BearingChoices, defaultBearing } from '../loading/bearing-geometry.ts'
import type { LoadChoices } from '../loading/knee-force.ts'
import { noOverrides, type PieceReadings, type PlanChoices } from '../planning/terms.ts'
import type { StanceChoices } from '../stance/terms.ts'
import type { Lesson } from './lesson.ts'
import type { SavedView } from './saved-view.ts'

export interface MeshReference {
  readonly sha256: string
  readonly name: string
  /** Multiply file coordinates by this to get mm. */
  readonly unitFactor: number
  /** Repairs in the order in which they were made, after the unit factor. */
  readonly repairs: readonly RepairStep[]
}

/** A sweep that can be run again: what is varied, and which outputs its chart draws. */
export interface SavedStudy {
  readonly name: string
  readonly vary: readonly {
    readonly path: string
    readonly from: number
    readonly to: number
    readonly step: number
  }[]
  /** None: the usual ones. */
  readonly outputs: readonly string[]
}

/** What a case is: small, deeply readonly, saved. Vertex data live outside it, keyed by hash. Degrees and mm. */
export interface CaseDocument extends Omit<PlanChoices, 'meshSurface'> {
  readonly version: 3
  readonly name: string
  /** null: not declared, taken from shape. */
  readonly side: Side | null
  readonly frame: PatientFrame
  readonly meshes: { readonly femur: MeshReference | null; readonly tibia: MeshReference | null }
  readonly references: References
  readonly landmarks: LandmarkOverrides
  /** Key of the set of landmarks that the user has looked over and signed off (`landmarksKey`); null: none. */
  readonly signedLandmarks: string | null
  readonly stance: StanceChoices
  readonly load: LoadChoices
  readonly bearing: BearingChoices
  /** Thickness measured on the pieces; empty until any is entered. */
  readonly measured: PieceReadings
  /** Where anatomy stops being ordinary. */
  readonly anatomyLimits: AnatomyLimits
  /** How sure landmarks and surfaces are taken to be. */
  readonly uncertainty: UncertaintyChoices
  readonly studies: readonly SavedStudy[]
  readonly views: readonly SavedView[]
  /** Where the window looked when the case was saved; no step of its history. */
  readonly lastView: SavedView | null
  readonly lessons: readonly Lesson[]
  readonly seed: number
  readonly notes: string
}

export const newCase: CaseDocument = {
  version: 3,
  name: 'Untitled',
  side: null,
  procedure: 'total',
  frame: 'unknown',
  meshes: { femur: null, tibia: null },
  references: defaultReferences,
  landmarks: {},
  signedLandmarks: null,
  implants: { family: 'generic-total', femurSize: null, tibiaSize: null, insertMm: null, own: null },
  recipe: 'kinematic',
  recipeOptions: {
    mechanicalRotation: 'three-external',
    slopeDeg: 3,
    slopeReleased: false,
    restrictedAnswer: 'rule-of-thumb',
    kinematicFlexion: 'shaft',
    tibialDepthFrom: 'lateral',
    femoralReferencing: 'posterior',
  },
  cuts: noOverrides,
  wear: { medialMm: 0, lateralMm: 0, posteriorMedialMm: null, posteriorLateralMm: null },
  cartilage: { femurMm: 2, tibiaMm: 2 },
  saw: { kerfMm: 1.2, angleSdDeg: 1, depthSdMm: 0.5 },
  limits: { limbDeg: 3, jointLineLowDeg: 85, jointLineHighDeg: 95 },
  stance: {
    pose: 'feet-together',
    hipHalfSpacingMm: null,
    ankleHalfSpacingMm: null,
    flexionDeg: 0,
    footRotationDeg: 0,
    jlcaDeg: null,
    other: null,
  },
  load: { bodyMassKg: 75, forceN: null, activity: 'pose', ownLateralDeg: null, ownForwardDeg: null },
  bearing: defaultBearing,
  measured: { sdMm: 0.25, pieceMm: {} },
  anatomyLimits: defaultAnatomyLimits,
  uncertainty: { meshAccuracyMm: defaultMeshAccuracyMm, sdMm: noSdEntered },
  studies: [],
  views: [],
  lastView: null,
  lessons: [],
  seed: 1,
  notes: '',
}
