import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import type { ChosenComponents } from './choose.ts'
import { cutFaceMm2, keptOutlines, type OutlineOf } from './cut-faces.ts'
import { greatestThicknessMm } from './cut-thickness.ts'
import { boxPlanes } from './femoral-box.ts'
import type { PlanInput } from './plan.ts'
import type { PlannedCut } from './planned.ts'
import { type CutVolumes, seriesVolumes, singleCutVolumes } from './removed.ts'
import type { CutId } from './terms.ts'

/** Cutting order of the femur (conventions). */
const femoralOrder = [
  'femur-distal',
  'femur-anterior',
  'femur-posterior',
  'femur-chamfer-posterior',
  'femur-chamfer-anterior',
] as const satisfies readonly CutId[]

/** The six cuts with volumes and faces; volumes are null for a bone that has no inside. */
export function totalCuts(input: PlanInput, chosen: ChosenComponents, block: Plane): readonly PlannedCut[] {
  const { choices, femurBone, tibiaBone } = input
  const { laid, femoralFit, bed } = chosen
  const kerfMm = choices.saw.kerfMm
  const planes = boxPlanes(femoralFit.box)
  const tibial = singleCutVolumes(tibiaBone, laid.tibial.plane, kerfMm)
  const series = seriesVolumes(femurBone, planes, [block], kerfMm)
  const depthFrom = choices.recipeOptions.tibialDepthFrom
  const mean = (a: number | null, b: number | null) => (a === null || b === null ? null : (a + b) / 2)
  const depthOf = (id: string) =>
    laid.tibial.sites.concat(laid.femoral.sites).find((s) => s.id === id)?.distanceMm ?? null
  const tibia: PlannedCut = {
    ...blankCut('tibia', laid.tibial.plane, tibial),
    varusDeg: laid.tibial.varusDeg,
    slopeDeg: laid.tibial.slopeDeg,
    rotationDeg: laid.goals.tibia.rotationDeg,
    depthMm:
      depthFrom === 'mean' ? mean(depthOf('tibia-medial'), depthOf('tibia-lateral')) : depthOf(`tibia-${depthFrom}`),
    ...faceOf(tibiaBone, laid.tibial.plane, [], tibial, keptOutlines(tibiaBone), bed.areaMm2),
  }
  const { valgusDeg, flexionDeg, externalRotationDeg } = laid.femoral
  const angles = {
    'femur-distal': { valgusDeg, flexionDeg, depthMm: depthOf('femur-distal-medial') },
    'femur-anterior': {},
    'femur-posterior': { externalRotationDeg, depthMm: depthOf('femur-posterior-medial') },
    'femur-chamfer-posterior': {},
    'femur-chamfer-anterior': {},
  }
  const outlineOf = keptOutlines(femurBone)
  const femur = femoralOrder.map((id, i): PlannedCut => {
    const plane = planes[i]!
    const volumes = series?.[i] ?? null
    return {
      ...blankCut(id, plane, volumes),
      ...angles[id],
      ...faceOf(femurBone, plane, [block, ...planes.slice(0, i)], volumes, outlineOf),
    }
  })
  return [tibia, ...femur]
}

/** Face and thickness of a cut; the mean needs a volume, and is 0 where there is no face. */
export function faceOf(
  bone: BoneMesh,
  plane: Plane,
  within: readonly Plane[],
  volumes: CutVolumes | null,
  outlineOf: OutlineOf = keptOutlines(bone),
  knownMm2?: number,
): Pick<PlannedCut, 'sectionMm2' | 'greatestMm' | 'meanMm'> {
  const sectionMm2 = knownMm2 ?? cutFaceMm2(bone, plane, within, outlineOf)
  const removedMm3 = volumes?.removedMm3 ?? null
  return {
    sectionMm2,
    greatestMm: greatestThicknessMm(bone, plane, within, outlineOf),
    meanMm: removedMm3 === null ? null : sectionMm2 > 0 ? removedMm3 / sectionMm2 : 0,
  }
}

/** A cut with its plane and volumes and no angles yet. */
export function blankCut(id: CutId, plane: Plane, volumes: CutVolumes | null): PlannedCut {
  return {
    id,
    bone: id.startsWith('tibia') ? 'tibia' : 'femur',
    point: plane.point,
    normal: plane.normal,
    varusDeg: null,
    valgusDeg: null,
    slopeDeg: null,
    flexionDeg: null,
    rotationDeg: null,
    externalRotationDeg: null,
    depthMm: null,
    removedMm3: volumes?.removedMm3 ?? null,
    removedBoundMm3: volumes?.removedBoundMm3 ?? null,
    kerfMm3: volumes?.kerfMm3 ?? null,
    pieceMm3: volumes?.pieceMm3 ?? null,
    sectionMm2: null,
    greatestMm: null,
    meanMm: null,
  }
}
