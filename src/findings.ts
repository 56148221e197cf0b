import type { BoneName, KneeAngles, Landmark, LandmarkId, References, Side } from './anatomy/terms.ts'
import type { Warning } from './failure.ts'
import type { Rigid } from './geometry/rigid.ts'
import type { Vec3 } from './geometry/vec.ts'
import type { CutId, Procedure, RecipeName, SiteId } from './planning/terms.ts'
import type { PoseName } from './stance/terms.ts'

/**
 * Every number the program knows (schema `floorline.findings/1`). Finite numbers only; withheld or not yet
 * modelled is `null` with a warning whose `spoils` names the path. Degrees, mm, mm², mm³, N, MPa. Points and
 * normals in the patient frame of the bone they belong to.
 */
export interface Findings {
  readonly schema: 'floorline.findings/1'
  readonly run: {
    readonly version: string
    readonly meshes: readonly { bone: BoneName; sha256: string; name: string; unitFactor: number }[]
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
  readonly fits: {
    readonly femoralHead: FitFindings | null
    readonly condylarCylinder: FitFindings | null
  }
  readonly angles: KneeAngles
  readonly cuts: readonly CutFindings[]
  readonly volumes: {
    readonly femurRemovedMm3: number | null
    readonly tibiaRemovedMm3: number | null
    readonly femurComponentMm3: number | null
    readonly tibiaComponentMm3: number | null
    readonly femurBlockTopMm: number | null
  }
  readonly implants: {
    readonly family: string
    readonly femurSize: number
    readonly femurSizeSource: 'proposed' | 'chosen'
    readonly tibiaSize: number
    readonly tibiaSizeSource: 'proposed' | 'chosen'
    readonly insertMm: number
  }
  readonly sites: readonly SiteFindings[]
  readonly coverage: {
    readonly sectionMm2: number
    readonly trayMm2: number
    readonly fraction: number
    readonly largestOverhangMm: number
    readonly largestGapMm: number
  } | null
  readonly limits: readonly LimitFindings[]
  readonly corrections: readonly CorrectionFindings[] | null
  readonly gaps: {
    readonly extensionMedialMm: number
    readonly extensionLateralMm: number
    readonly flexionMedialMm: number
    readonly flexionLateralMm: number
    readonly kind: 'geometric'
  } | null
  readonly after: {
    readonly hkaDeg: number | null
    readonly ldfaDeg: number
    readonly mptaDeg: number
    readonly slopeDeg: number
    readonly jointLineShiftMedialMm: number | null
    readonly jointLineShiftLateralMm: number | null
    readonly legLengthMm: number | null
  }
  readonly stance: readonly StanceFindings[]
  readonly loading: readonly LoadingFindings[]
  readonly intervals: Readonly<Record<string, readonly [number, number]>> | null
  readonly warnings: readonly Warning[]
}

export interface Assumption {
  readonly what: string
  readonly value: string
  readonly basis: string
}

export interface BoneFindings {
  readonly triangles: number
  readonly closed: boolean
  readonly volumeMm3: number | null
  readonly truncated: boolean
}

export interface FitFindings {
  readonly radiusMm: number
  readonly rmsMm: number
}

/** One planned cut. Angles that do not apply to a cut are null. A cut not yet planned (chamfers, anterior) has null numbers. */
export interface CutFindings {
  readonly id: CutId
  readonly bone: BoneName
  readonly point: Vec3 | null
  /** Unit, into the kept bone. */
  readonly normal: Vec3 | null
  readonly varusDeg: number | null
  readonly valgusDeg: number | null
  readonly slopeDeg: number | null
  readonly flexionDeg: number | null
  readonly rotationDeg: number | null
  readonly externalRotationDeg: number | null
  /** Tibia: depthMm from the lateral plateau point; femur distal: from the medial distal site. */
  readonly depthMm: number | null
  readonly removedMm3: number | null
  readonly kerfMm3: number | null
  readonly pieceMm3: number | null
  readonly sectionMm2: number | null
}

export interface SiteFindings {
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
  readonly within: boolean
}

export interface LimitFindings {
  readonly id: string
  readonly value: number
  readonly low: number
  readonly high: number
  readonly status: 'inside' | 'caution' | 'beyond'
  readonly basis: string
}

export interface CorrectionFindings {
  readonly limit: string
  readonly bone: BoneName
  readonly deg: number
  readonly siteDeltaMm: Readonly<Record<string, number>>
  readonly gapDeltaMm: Readonly<Record<string, number>> | null
}

export interface StanceFindings {
  readonly pose: PoseName
  readonly hipHalfSpacingMm: number
  readonly ankleHalfSpacingMm: number
  readonly spacingSource: 'assumed' | 'entered' | 'measured'
  readonly legLeanDeg: number
  readonly tibiaLeanDeg: number
  readonly tibiaLeanBeforeDeg: number
  readonly jointLineToFloorBeforeDeg: number
  readonly trayToFloorCoronalDeg: number
  readonly trayToFloorSagittalDeg: number
  readonly trayToFloorDeg: number
  /** Where the posed bones stand after the cuts: maps from each bone's patient frame to the stance frame (y up, floor y = 0). */
  readonly stanceFromFemur: Rigid
  readonly stanceFromTibia: Rigid
}

export interface LoadingFindings {
  readonly pose: PoseName
  readonly direction: 'vertical' | 'tibial-axis' | 'own'
  readonly loadN: number
  readonly compressionN: number
  readonly shearN: number
  readonly shearToCompression: number
  readonly shearCoronal: number
  readonly shearSagittal: number
  readonly medialShare: number | null
  readonly interfacePeakMpa: number | null
  readonly bearing: {
    readonly medial: BearingFindings
    readonly lateral: BearingFindings
  } | null
}

export interface BearingFindings {
  readonly peakMpa: number
  readonly areaMm2: number
  readonly edgeDistanceMm: number
  readonly outerTenthShare: number
  readonly edgeLoaded: boolean
}
