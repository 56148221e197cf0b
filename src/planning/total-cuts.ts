import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import { sub } from '../geometry/vec.ts'
import type { ChosenComponents } from './choose.ts'
import type { ComponentFace } from './component-faces.ts'
import { cutFaceMm2, keptOutlines, type OutlineOf } from './cut-faces.ts'
import { externalRotationOf, femoralAngles } from './cut-normals.ts'
import { greatestThicknessMm } from './cut-thickness.ts'
import { legAxes } from './leg-axes.ts'
import type { PlanInput } from './plan.ts'
import type { PlannedCut } from './planned.ts'
import { type CutVolumes, seriesVolumes, singleCutVolumes } from './removed.ts'
import type { SawnFemur } from './sawn-femur.ts'
import { seatingOf } from './seating.ts'
import { type CutDeparture, type CutId, departs, type FemoralCutId, femoralCutIds } from './terms.ts'

/** The six cuts with volumes and faces; volumes are null for a bone that has no inside. */
export function totalCuts(input: PlanInput, chosen: ChosenComponents, block: Plane): readonly PlannedCut[] {
  const { choices, femurBone, tibiaBone } = input
  const { laid, sawn, bed } = chosen
  const kerfMm = choices.saw.kerfMm
  const { planes, faces } = sawn
  const tibial = singleCutVolumes(tibiaBone, laid.tibial.plane, kerfMm)
  const series = seriesVolumes(femurBone, planes, [block], kerfMm)
  const depthFrom = choices.recipeOptions.tibialDepthFrom
  const mean = (a: number | null, b: number | null) => (a === null || b === null ? null : (a + b) / 2)
  const depthOf = (id: string) => laid.tibial.sites.concat(sawn.sites).find((s) => s.id === id)?.distanceMm ?? null
  const tibia: PlannedCut = {
    ...blankCut('tibia', laid.tibial.plane, tibial),
    varusDeg: laid.tibial.varusDeg,
    slopeDeg: laid.tibial.slopeDeg,
    rotationDeg: laid.goals.tibia.rotationDeg,
    depthMm:
      depthFrom === 'mean' ? mean(depthOf('tibia-medial'), depthOf('tibia-lateral')) : depthOf(`tibia-${depthFrom}`),
    ...faceOf(tibiaBone, laid.tibial.plane, [], tibial, keptOutlines(tibiaBone), bed.areaMm2),
  }
  const { valgusDeg, flexionDeg, externalRotationDeg } = sawnAngles(input, sawn)
  const angles = {
    'femur-distal': { valgusDeg, flexionDeg, depthMm: depthOf('femur-distal-medial') },
    'femur-anterior': {},
    'femur-posterior': { externalRotationDeg, depthMm: depthOf('femur-posterior-medial') },
    'femur-chamfer-posterior': {},
    'femur-chamfer-anterior': {},
  }
  const outlineOf = keptOutlines(femurBone)
  const femur = femoralCutIds.map((id, i): PlannedCut => {
    const plane = planes[i]!
    const volumes = series?.[i] ?? null
    const within = [block, ...planes.slice(0, i)]
    return {
      ...blankCut(id, plane, volumes),
      ...angles[id],
      ...faceOf(femurBone, plane, within, volumes, outlineOf),
      ...seatOf(femurBone, faces[i]!, plane, within, choices.cuts.departures[id], outlineOf),
    }
  })
  return [tibia, ...femur]
}

/** Angles of the distal and posterior cut as sawn, in the bone's own axes. */
export function sawnAngles(
  { femur }: PlanInput,
  { faces, planes }: SawnFemur,
): { readonly valgusDeg: number; readonly flexionDeg: number; readonly externalRotationDeg: number } {
  const axes = legAxes(femur.frame, femur.side)
  const normalOf = (id: FemoralCutId) => planes[faces.findIndex((face) => face.id === id)]!.normal
  const { condylePosteriorMedial: m, condylePosteriorLateral: l } = femur.landmarks
  const posterior = normalOf('femur-posterior')
  return {
    ...femoralAngles(axes, normalOf('femur-distal')),
    externalRotationDeg: m && l ? externalRotationOf(axes, sub(l.mm, m.mm), posterior) : 0,
  }
}

/** What the departure of a cut leaves between it and the component's face; nothing where it lies on the face. */
export function seatOf(
  bone: BoneMesh,
  face: ComponentFace,
  plane: Plane,
  within: readonly Plane[],
  departure: CutDeparture,
  outlineOf: OutlineOf,
): Pick<PlannedCut, 'departure' | 'gapMm' | 'interferenceMm'> {
  const seating = departs(departure) ? seatingOf(bone, face, plane, within, outlineOf) : { gapMm: 0, interferenceMm: 0 }
  return { departure, gapMm: seating?.gapMm ?? null, interferenceMm: seating?.interferenceMm ?? null }
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
    departure: null,
    gapMm: null,
    interferenceMm: null,
  }
}
