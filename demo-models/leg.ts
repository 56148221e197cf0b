import type { Mesh } from '../src/geometry/mesh.ts'
import { mapMesh, mirrorMesh } from '../src/geometry/transform.ts'
import { type FemurShape, femurShape } from './femur-shape.ts'
import { meshSdf } from './mesher.ts'
import { type LegParameters, ordinaryLeg } from './parameters.ts'
import { mirrorTruth, moveFemur, moveTibia, patientFromModel, tibiaPlacement } from './placement.ts'
import { type TibiaShape, tibiaShape } from './tibia-shape.ts'
import { legAngles } from './truth-angles.ts'
import { type FemurCore, femurCore, femurTruth, ldfa } from './truth-femur.ts'
import { lipschitz } from './truth-search.ts'
import type { LegTruth } from './truth-terms.ts'
import { type TibiaCore, tibiaAngles, tibiaCore, tibiaTruth } from './truth-tibia.ts'

export { type LegParameters, ordinaryLeg, randomLegParameters } from './parameters.ts'
export type { LegTruth } from './truth-terms.ts'

/** A synthetic leg: two closed outward meshes in one patient frame (LPS, mm) and what is true of their shapes. */
export interface Leg {
  readonly parameters: LegParameters
  readonly femur: Mesh
  readonly tibia: Mesh
  readonly truth: LegTruth
}

/** The two shapes of a leg in the right-leg model frame with the truth measured on them, before any meshing. */
export interface LegShapes {
  readonly parameters: LegParameters
  readonly femur: FemurShape
  readonly tibia: TibiaShape
  /** In the model frame of the right femur; the tibia is placed there by `tibiaInFemurModel`. */
  readonly femurCore: FemurCore
  readonly tibiaCore: TibiaCore
}

/**
 * Makes a leg from a partial table of parameters (the rest: `ordinaryLeg`). A left leg is the exact mirror image of the
 * right leg of the same table. `edgeMm` is the length of triangle edges (default 1; 2…3 for quick tests).
 */
export function makeLeg(partial: Partial<LegParameters> = {}, options: { readonly edgeMm?: number } = {}): Leg {
  const shapes = makeShapes({ ...ordinaryLeg, ...partial })
  const { parameters, femur, tibia, femurCore: core } = shapes
  const mesh = { edgeMm: options.edgeMm ?? 1, lipschitz }
  const femurInModel = femurTruth(femur, shapes.femurCore)
  const tibiaInModel = tibiaTruth(tibia, shapes.tibiaCore)
  const place = tibiaPlacement(
    femur,
    femurInModel,
    [core.distalMedial, core.distalLateral],
    tibia,
    tibiaInModel,
    parameters,
  )
  const placed = moveTibia(tibiaInModel, place)
  const own = tibiaAngles(shapes.tibiaCore)
  const angles = legAngles(femurInModel, placed, {
    ldfaDeg: ldfa(shapes.femurCore),
    mptaDeg: own.mpta,
    mptaPlainDeg: own.plain,
    slopeMedialDeg: own.medialSlope,
    slopeLateralDeg: own.lateralSlope,
  })
  const patient = patientFromModel(femurInModel)
  const right: LegTruth = {
    side: 'right',
    femur: moveFemur(femurInModel, patient),
    tibia: moveTibia(placed, patient),
    angles,
  }
  const femurMesh = mapMesh(meshSdf(femur.sdf, femur.box, mesh), patient)
  const tibiaMesh = mapMesh(mapMesh(meshSdf(tibia.sdf, tibia.box, mesh), place), patient)
  if (parameters.side === 'right') return { parameters, femur: femurMesh, tibia: tibiaMesh, truth: right }
  return { parameters, femur: mirrorMesh(femurMesh), tibia: mirrorMesh(tibiaMesh), truth: mirrorTruth(right) }
}

/** Solves the free numbers of both shapes so that the measured LDFA, MPTA and slopes become the asked ones. */
function makeShapes(parameters: LegParameters): LegShapes {
  let tilt = 90 - parameters.ldfaDeg
  let femur = femurShape(parameters, { condyleTiltDeg: tilt })
  let core = femurCore(femur)
  for (let pass = 0; pass < 4 && Math.abs(ldfa(core) - parameters.ldfaDeg) > 0.005; pass++) {
    tilt += ldfa(core) - parameters.ldfaDeg
    femur = femurShape(parameters, { condyleTiltDeg: tilt })
    core = femurCore(femur)
  }
  const knobs = {
    varusDeg: 90 - parameters.mptaDeg,
    slopeMedialDeg: parameters.slopeMedialDeg,
    slopeLateralDeg: parameters.slopeLateralDeg,
  }
  let tibia = tibiaShape(parameters, knobs)
  let measured = tibiaCore(tibia, 0.75)
  for (let pass = 0; pass < 5; pass++) {
    const now = tibiaAngles(measured)
    const miss = [
      now.mpta - parameters.mptaDeg,
      now.medialSlope - parameters.slopeMedialDeg,
      now.lateralSlope - parameters.slopeLateralDeg,
    ] as const
    if (Math.hypot(...miss) < 0.02) break
    knobs.varusDeg += miss[0]
    knobs.slopeMedialDeg -= miss[1]
    knobs.slopeLateralDeg -= miss[2]
    tibia = tibiaShape(parameters, knobs)
    measured = tibiaCore(tibia, 0.75, measured)
  }
  return { parameters, femur, tibia, femurCore: core, tibiaCore: tibiaCore(tibia, 0.35, measured) }
}
