import type { FilePart } from '../anatomy/file-parts.ts'
import type { MeasuredCompanions } from '../anatomy/measure-companions.ts'
import type {
  BoneName,
  CompanionName,
  FemurAnatomy,
  LandmarkOverrides,
  References,
  Side,
  TibiaAnatomy,
} from '../anatomy/terms.ts'
import type { Depth } from '../assess.ts'
import type { CaseDocument, MeshReference } from '../casefile/document.ts'
import type { Failure, Result, Warning } from '../failure.ts'
import type { Findings } from '../findings.ts'
import type { FittedShape, ShapeKind } from '../geometry/fit-shape.ts'
import type { MeshHealth } from '../geometry/health.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import type { RepairProposal, RepairStep } from '../geometry/repair.ts'
import type { Snap } from '../geometry/snap-on-surface.ts'
import type { Ball } from '../geometry/surface-patch.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { LoadMap } from '../loading/loads.ts'
import type { AchievedOnBone } from '../planning/achieved-in-frame.ts'
import type { CutSection } from '../planning/cut-section.ts'
import type { DrivenCut } from '../planning/drive.ts'
import type { NeededThickness } from '../planning/needed-thickness.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import type { CutId, CutOverrides } from '../planning/terms.ts'
import type { OtherLeg } from '../stance/other-leg.ts'
import type { OtherLegBones } from '../stance/stand-other-leg.ts'
import type { RecipeResults } from '../studies/compare-recipes.ts'
import type { LevelCut } from '../studies/level-finder.ts'
import type { LoadMoment, LoadSeries } from '../studies/load-series.ts'
import type { ProfilePair } from '../studies/profile-table.ts'
import type { SawOff } from '../studies/saw-off.ts'
import type { StudyCell, Vary } from '../studies/sweep.ts'
import type { DisplayMesh } from './display-mesh.ts'
import type { LightDrawing } from './light-drawing.ts'
import type { BoneParts, DrawnPlan } from './plan-parts.ts'

/** What is known of one file once it has been read, scaled and repaired; `mesh` is in mm, as far as the unit is right. */
export interface OpenedMesh {
  /** Tells this reading of the file from any other (`meshKey`). */
  readonly key: string
  readonly reference: MeshReference
  readonly format: string
  readonly mesh: Mesh
  /** The same once more for each worker that will hold it: handed over, it costs the window nothing. */
  readonly copies: readonly Mesh[]
  readonly unitGuess: 'mm' | 'cm' | 'm' | 'inch' | 'unknown'
  /** Principal extents in the file's own unit, longest first: what its unit is told by. */
  readonly extentsInFile: Vec3
  readonly health: MeshHealth
  /** What would help this surface, best made in this order. */
  readonly proposals: readonly RepairProposal[]
  readonly declaredTriangles: number
  /** With stand-in patches where the surface is open; null when it has no inside even so. */
  readonly volumeMm3: number | null
  /** How far the volume may be from the truth; 0 for a closed surface. */
  readonly volumeBoundMm3: number | null
  readonly areaMm2: number
  readonly boxMm: readonly [Vec3, Vec3]
  readonly boneGuess: BoneName | 'unknown'
  readonly sideGuess: Side | 'unknown'
  /** Where it shows no knee: the part that carries a joint centre; else null. */
  readonly companionGuess: CompanionName | null
  readonly confidence: number
  /** Where the file holds several parts of a leg: each with what it shows; else none. */
  readonly parts: readonly FilePart[]
  readonly display: DisplayMesh
  /** Of the file as such: shown beside it. */
  readonly warnings: readonly Warning[]
  /** Of reading it, with the findings they spoil: these travel in the findings. */
  readonly fileWarnings: readonly Warning[]
}

/** Every job the engine can do: what goes in, what comes out. The worker must answer each; the client may ask only these. */
export interface Jobs {
  /** Reads, welds, scales, repairs and inspects one file; the bytes are read off the main thread. `unitFactor` null: not said, read as mm. */
  'open-mesh': {
    readonly input: {
      readonly file: Blob
      readonly name: string
      readonly unitFactor: number | null
      readonly repairs: readonly RepairStep[]
    }
    readonly output: OpenedMesh
  }
  /** What a repair would make of a surface (mm), to be looked at; nothing is changed. */
  'preview-repair': {
    readonly input: { readonly mesh: Mesh; readonly step: RepairStep }
    readonly output: RepairOutcome
  }
  /** Looks for places where a surface (mm) runs through itself: only when asked, as it takes a while. */
  'find-crossings': { readonly input: { readonly mesh: Mesh }; readonly output: CrossingPlaces }
  /** Keeps a mesh in the engine, with its tree, under its hash. */
  'hold-bone': {
    readonly input: { readonly key: string; readonly mesh: Mesh }
    readonly output: { readonly closed: boolean }
  }
  'drop-bone': { readonly input: { readonly key: string }; readonly output: null }
  /** Landmarks of a single bone, for as long as its partner is missing. */
  'find-landmarks': {
    readonly input: {
      readonly key: string
      readonly bone: BoneName
      readonly side: Side | null
      readonly references: References
      readonly overrides: LandmarkOverrides
    }
    readonly output: { readonly femur: FemurAnatomy | null; readonly tibia: TibiaAnatomy | null }
  }
  /** The numbers and the strip's drawing. `live` follows the hand; `full` adds contact and interface on release. */
  assess: {
    readonly input: {
      readonly document: CaseDocument
      readonly fileWarnings: readonly Warning[]
      readonly depth: Depth
      /** A landmark is in the hand: the others stay where they were last found (see `holdFemur`). */
      readonly holdLandmarks?: boolean
      /** `anatomyId` of an earlier answer whose anatomy the asker still has: it is not sent again while it is the same. */
      readonly knownAnatomy?: string | null
    }
    readonly output: Assessment
  }
  /** Kept bones, removed pieces and components as meshes to look at; `shown` are the keys of those still in sight. */
  'plan-parts': {
    readonly input: {
      readonly meshes: CaseDocument['meshes']
      readonly plan: DrawnPlan
      readonly shown: Readonly<Record<BoneName, string>> | null
    }
    readonly output: Readonly<Record<BoneName, BoneParts>>
  }
  /** The same case under every recipe; a recipe that cannot be planned gives its failure. */
  'compare-recipes': {
    readonly input: {
      readonly document: CaseDocument
      readonly fileWarnings: readonly Warning[]
      /** Leaves out the cuts entered in the case. */
      readonly asRecipesSay: boolean
    }
    readonly output: { readonly recipes: RecipeResults }
  }
  /** Planned against achieved: one bone after the cuts, from a file in any frame; `unitFactor` null: not said, read as mm. */
  achieved: {
    readonly input: {
      readonly document: CaseDocument
      readonly bone: BoneName
      readonly file: Blob
      readonly name: string
      readonly unitFactor: number | null
    }
    readonly output: AchievedOnBone
  }
  /** The landmarks that companion files (mm, in the knee files' frames) give beside those bones of the case that are held. */
  'measure-companions': {
    readonly input: {
      readonly document: CaseDocument
      readonly companions: readonly {
        readonly part: CompanionName
        readonly file: MeshReference
        readonly mesh: Mesh
      }[]
    }
    readonly output: MeasuredCompanions
  }
  /** The other leg, measured on its own two files (mm; which is which is told by shape). */
  'measure-other-leg': {
    readonly input: {
      readonly document: CaseDocument
      readonly files: readonly { readonly file: Blob; readonly name: string }[]
    }
    readonly output: OpenedOtherLeg
  }
  /** Keeps the other leg's bones for the drawings of every case that names its files; null lets go of them. */
  'hold-other-leg': { readonly input: { readonly bones: OtherLegBones | null }; readonly output: null }
  /** What if the saw is off: chances per recipe that limits and tolerances hold. */
  'saw-off': {
    readonly input: { readonly document: CaseDocument; readonly draws: number }
    readonly output: SawOff
  }
  /** Bearing and interface of the planned components along a load series. */
  'load-series': {
    readonly input: { readonly document: CaseDocument; readonly moments: readonly LoadMoment[] }
    readonly output: LoadSeries
  }
  /** A bearing surface of the user's own, from a table or a mesh; null in a direction that it says nothing about. */
  'read-profile': {
    readonly input: { readonly file: Blob; readonly name: string; readonly part: 'condyle' | 'dish' }
    readonly output: ProfilePair
  }
  /** One point of a sweep along one parameter or two. */
  'sweep-row': {
    readonly input: {
      readonly document: CaseDocument
      readonly vary: readonly Vary[]
      readonly point: readonly number[]
    }
    readonly output: { readonly row: readonly StudyCell[] }
  }
  /** What a sweep of the case takes for granted. */
  'sweep-assumptions': {
    readonly input: { readonly document: CaseDocument }
    readonly output: { readonly assumptions: readonly Assumption[] }
  }
  /** Thickness over the face of one cut's piece; `right` and `up` are the viewer's axes in the bone's patient frame. */
  'thickness-map': {
    readonly input: {
      readonly meshes: CaseDocument['meshes']
      readonly plan: Plan
      readonly cut: CutId
      readonly right: Vec3
      readonly up: Vec3
    }
    readonly output: PieceThickness
  }
  /** The face of one cut as it is sawn, with its component laid on it, on the viewer's axes as for `thickness-map`. */
  'cut-section': {
    readonly input: {
      readonly meshes: CaseDocument['meshes']
      readonly plan: Plan
      readonly cut: CutId
      readonly right: Vec3
      readonly up: Vec3
    }
    readonly output: CutSection
  }
  /** The tibial varus that stands level side to side in the case's pose. */
  'find-level': { readonly input: { readonly document: CaseDocument }; readonly output: { readonly level: LevelCut } }
  /** The case and its mesh files as one file. */
  'write-case': {
    readonly input: { readonly document: CaseDocument; readonly sources: readonly Blob[] }
    readonly output: { readonly bytes: Uint8Array<ArrayBuffer> }
  }
  /** First point of a held bone along a ray in its patient frame, drawn to a feature near it when asked. */
  pick: {
    readonly input: {
      readonly key: string
      readonly origin: Vec3
      readonly direction: Vec3
      readonly snap?: Snap | null
    }
    readonly output: { readonly point: Vec3 | null }
  }
  /**
   * A shape fitted to what lies under the brush of a held bone, or to picked points where nothing is painted; outliers are
   * left out of a patch beyond `rejectBeyondSd` robust standard deviations. Patient frame, mm.
   */
  'fit-on-bone': {
    readonly input: {
      readonly key: string
      readonly balls: readonly Ball[]
      readonly points: readonly Vec3[]
      readonly kind: ShapeKind
      readonly rejectBeyondSd: number | null
    }
    readonly output: { readonly fit: Result<FittedShape>; readonly patch: PaintedPatch | null }
  }
  /** The cut overrides that lay a cut on a plane, or square to an axis, given in its bone's patient frame. */
  'drive-cut': {
    readonly input: { readonly document: CaseDocument; readonly cut: DrivenCut; readonly by: CutDriver }
    readonly output: { readonly cuts: CutOverrides }
  }
}

/** The other leg as it is kept in the case, with its bones to stand and to look at. */
export interface OpenedOtherLeg {
  readonly measured: OtherLeg
  readonly bones: OtherLegBones
  readonly display: Readonly<Record<BoneName, DisplayMesh>>
}

export type CutDriver =
  | { readonly kind: 'plane'; readonly plane: Plane }
  | { readonly kind: 'axis'; readonly direction: Vec3 }

/** The part of a bone under the brush, as drawn. */
export interface PaintedPatch {
  readonly display: DisplayMesh
  readonly areaMm2: number
  /** Per corner drawn, off the fitted shape; null without a fit. */
  readonly residualMm: Float32Array | null
}

/** What one repair would make of a surface. */
export interface RepairOutcome {
  readonly display: DisplayMesh
  /** The surface that no one has scanned; null where the repair adds none. */
  readonly added: DisplayMesh | null
  readonly trianglesAdded: number
  readonly closed: boolean
  readonly boundaryEdges: number
  readonly nonManifoldEdges: number
  readonly volumeMm3: number | null
  readonly volumeBoundMm3: number | null
}

/** Where a surface runs through itself, in the frame of the mesh, mm. */
export interface CrossingPlaces {
  readonly pairs: number
  /** Whether there are more than were looked for. */
  readonly more: boolean
  readonly lines: readonly (readonly Vec3[])[]
  readonly points: readonly Vec3[]
}

/** Thickness of a piece along its cut's normal on the viewer's axes, rows from the top down; −1 where there is no piece. */
export interface PieceThickness {
  readonly cut: CutId
  readonly columns: number
  readonly rows: number
  readonly stepMm: number
  /** Outer corner of the first cell on the cut, and the ways along a row and from row to row: patient frame, unit. */
  readonly corner: Vec3
  readonly alongRow: Vec3
  readonly alongColumn: Vec3
  readonly thicknessMm: Float32Array
  /** Thickness less what the component needs there: positive is more taken than put back. Null for a cut without sites. */
  readonly differenceMm: Float32Array | null
  /** What of the mesh each compartment needs, kerf included. */
  readonly needed: readonly Pick<NeededThickness, 'compartment' | 'neededMm'>[]
  /** The middle of the thinnest and of the thickest cell; empty where there is no piece. */
  readonly extremes: readonly { readonly mm: number; readonly differenceMm: number | null; readonly at: Vec3 }[]
  readonly minMm: number
  readonly meanMm: number
  readonly maxMm: number
}

export interface Assessment {
  readonly findings: Findings
  readonly drawing: LightDrawing | null
  /** Names this anatomy; another one has another name, whichever worker found it. */
  readonly anatomyId: string
  /** Frames and landmarks; null when the asker has them already. */
  readonly anatomy: { readonly femur: FemurAnatomy; readonly tibia: TibiaAnatomy } | null
  /** What `plan-parts` makes meshes from. */
  readonly plan: Plan
  /** Pressures on the bearing; empty in the live set. */
  readonly maps: readonly LoadMap[]
  readonly depth: Depth
}

export type JobName = keyof Jobs
export type JobInput<J extends JobName> = Jobs[J]['input']
export type JobOutput<J extends JobName> = Jobs[J]['output']

export interface Progress {
  /** 0…1 */
  readonly fraction: number
  readonly stage: string
}

export const protocolVersion = 1

export type RunRequest = {
  [J in JobName]: { readonly kind: 'run'; readonly id: number; readonly job: J; readonly input: JobInput<J> }
}[JobName]

/** `cancel` asks the job of that number to end early; it answers `job/cancelled` when it does. */
export type Request = RunRequest | { readonly kind: 'cancel'; readonly id: number }

export type Reply =
  | { readonly kind: 'ready'; readonly version: number }
  | { readonly kind: 'progress'; readonly id: number; readonly progress: Progress }
  | { readonly kind: 'done'; readonly id: number; readonly output: unknown }
  | { readonly kind: 'failed'; readonly id: number; readonly failure: Failure }

export interface JobContext {
  /** Tells the caller how far the job is; at most every 50 ms reaches it. */
  readonly progress: (fraction: number, stage: string) => void
  /** Hands a buffer over instead of copying it; the job must not touch it afterwards. */
  readonly transfer: (buffer: ArrayBufferLike) => void
  /** Aborted when the caller no longer wants the answer. */
  readonly signal: AbortSignal
}

/** One handler per job; a missing one does not compile. */
export type JobHandlers = {
  readonly [J in JobName]: (
    input: JobInput<J>,
    context: JobContext,
  ) => Result<JobOutput<J>> | Promise<Result<JobOutput<J>>>
}
