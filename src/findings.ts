import type { AngleDefinition } from './anatomy/angle-definitions.ts'
import type { AnatomyFlag, AnatomyLimits } from './anatomy/flags.ts'
import type { JudgedPose } from './anatomy/measure-angles.ts'
import type { SignOff } from './anatomy/sign-off.ts'
import type {
  BoneName,
  CompanionName,
  FromCompanion,
  KneeAngles,
  Landmark,
  LandmarkId,
  References,
  Side,
} from './anatomy/terms.ts'
import type { ToldShape } from './anatomy/told-shape.ts'
import type { Warning } from './failure.ts'
import type { RepairStep } from './geometry/repair.ts'
import type { BearingLoad } from './loading/contact-under-load.ts'
import type { Load } from './loading/loads.ts'
import type { MeasuredPieces } from './planning/measured-pieces.ts'
import type {
  AfterCuts,
  Assumption,
  Consequences,
  Conversion,
  Correction,
  Coverage,
  FemoralPlace,
  Gaps,
  Limit,
  PlanImplants,
  PlannedCut,
  PlanVolumes,
  Restriction,
  Site,
} from './planning/planned.ts'
import type { Procedure, RecipeName } from './planning/terms.ts'
import type { Uncertainty } from './planning/uncertainty.ts'
import type { Sensitivity } from './stance/sensitivity.ts'
import type { Standing } from './stance/standing.ts'

/**
 * Every number the program knows (schema `floorline.findings/1`). Finite numbers only; withheld or not yet
 * modelled is `null` with a warning whose `spoils` names the path. Degrees, mm, mm², mm³, N, MPa. Points and
 * normals in the patient frame of the bone they belong to.
 */
export interface Findings {
  readonly schema: 'floorline.findings/1'
  readonly run: {
    readonly version: string
    readonly meshes: readonly {
      readonly bone: BoneName
      readonly sha256: string
      readonly name: string
      readonly unitFactor: number
      readonly repairs: readonly RepairStep[]
    }[]
    /** Files beside the bones' from which a joint centre was read. */
    readonly companions: readonly (FromCompanion['file'] & { readonly part: CompanionName })[]
    readonly seed: number
  }
  readonly side: Side
  readonly sideSource: 'declared' | 'shape' | 'position'
  readonly procedure: Procedure
  readonly recipe: RecipeName
  readonly references: References
  readonly assumptions: readonly Assumption[]
  readonly bones: Readonly<Record<BoneName, BoneFindings>>
  readonly landmarks: Readonly<Partial<Record<LandmarkId, Landmark>>>
  /** Whether these landmarks are the set that the user signed off. */
  readonly signOff: SignOff
  readonly fits: {
    readonly femoralHead: FitFindings | null
    /** `arcDeg`: the stretch of flexion over which it is fitted, from distal. */
    readonly condylarCylinder: (FitFindings & { readonly arcDeg: readonly [number, number] }) | null
  }
  /** What the femur's shape says beyond landmarks; null where the scan does not show it. */
  readonly shape: ToldShape
  readonly angles: KneeAngles
  /** Whether femur and tibia lie in one frame and a plausible pose, with the table it is judged by. */
  readonly relativePose: Omit<JudgedPose, 'reason'> & { readonly reason?: string }
  /** Where anatomy is flagged as out of the ordinary; fields of the case, common practice. */
  readonly anatomyLimits: AnatomyLimits
  readonly cuts: readonly PlannedCut[]
  /** Where the femoral component stands; its cuts may depart from it, each by its own `departure`. */
  readonly femoralPlace: FemoralPlace
  readonly volumes: PlanVolumes
  readonly implants: PlanImplants
  readonly sites: readonly Site[]
  readonly coverage: Coverage | null
  readonly limits: readonly Limit[]
  readonly corrections: readonly Correction[] | null
  readonly gaps: Gaps | null
  readonly after: AfterCuts
  /** Both answers of the restricted recipe with the cost of each step; absent for other recipes. */
  readonly restriction?: Restriction
  readonly consequences: Consequences
  /** What a later total would find after a medial partial; absent for a total. */
  readonly conversion?: Conversion
  /** Where the cuts went by the measured pieces; absent while none is entered. */
  readonly measured?: MeasuredPieces
  /** How the tray's tilt in the shown pose answers to 10 mm or 10° of each entry of the stance. */
  readonly sensitivities: readonly Sensitivity[]
  readonly stance: readonly StanceFindings[]
  readonly loading: readonly LoadingFindings[]
  /** 95 % intervals by findings path. */
  readonly intervals: Readonly<Record<string, readonly [number, number]>> | null
  /** By findings path of an angle: what it rests on, other definitions' values, and where healthy adults lie. */
  readonly definitions: Readonly<Record<string, AngleDefinition>>
  /** What about this anatomy the plain recipe was not made for. */
  readonly flags: readonly AnatomyFlag[]
  /** What the intervals are made of; null where they are. */
  readonly uncertainty: Uncertainty | null
  readonly warnings: readonly Warning[]
}

export interface BoneFindings {
  readonly triangles: number
  readonly closed: boolean
  /** Of an open surface: with stand-in patches over its holes; null when it has no inside even so. */
  readonly volumeMm3: number | null
  /** How far `volumeMm3` may be from the truth; 0 for a closed surface. */
  readonly volumeBoundMm3: number | null
  readonly truncated: boolean
}

export interface FitFindings {
  readonly radiusMm: number
  readonly rmsMm: number
}

export type StanceFindings = Standing

export type LoadingFindings = Load

export type BearingFindings = BearingLoad
