import { ok, type Result, type Warning } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import { mapPoint, outOfFrame } from '../geometry/rigid.ts'
import { addScaled, dot, scale, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import { mirrorAcrossZ } from '../implants/mirror.ts'
import { planAssumptions } from './assumptions.ts'
import { type ChosenPartial, choosePartial } from './choose-partial.ts'
import { conversionOf } from './conversion.ts'
import { coordinatesOf, legAxes } from './leg-axes.ts'
import { commonPractice, judge, unjudged } from './limits.ts'
import { openBoneWarnings, removedFrom } from './open-bones.ts'
import { partialGaps, partialLegLength } from './partial-consequences.ts'
import { partialCorrections } from './partial-corrections.ts'
import type { PartialCuts } from './partial-cuts.ts'
import { notchPlane, partialCoverage, partialTrayFrame, placedPartialTray } from './partial-place.ts'
import { plannedCuts } from './partial-planned-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { AfterCuts, Conversion, Limit, PlacedComponent, Plan, PlannedCut, Site } from './planned.ts'
import { facePlanes, placeOf, seatWarnings } from './seat-report.ts'
import { standInWarnings } from './stand-in-axis.ts'

/** The plan of a medial partial knee replacement. */
export function planPartial(input: PlanInput): Result<Plan> {
  const chosen = choosePartial(input)
  if (!chosen.ok) return chosen
  const { cuts, component, bed, trayFit, sawn, implants } = chosen.value
  const notch = notchPlane(input.femur)
  const placed = placedComponents(input, chosen.value)
  const blockTopMm = topOf(input, placed[0]!) + 10
  const block = blockPlane(input, blockTopMm)
  const planned = plannedCuts(input, cuts, sawn, [block, notch])
  const turned = afterPartial(input, cuts)
  const legs = partialLegLength(input, cuts, turned.hkaDeg)
  const after: AfterCuts = { ...turned, legLengthMm: legs.after }
  const fromFemur = removedFrom(planned, 'femur')
  const fromTibia = removedFrom(planned, 'tibia')
  const conversion = conversionOf(input, cuts)
  const limits = partialLimits(input, cuts, after)
  const restricted = partialCorrections(input, component, cuts)
  if (!restricted.ok) return restricted
  const sites = [...cuts.sites.filter(({ id }) => id.startsWith('tibia')), ...sawn.sites]
  const difference = (id: string) => cuts.sites.find((s) => s.id === id)?.differenceMm ?? null
  const less = (v: number | null) => (v === null ? null : 0 - v)
  return ok({
    side: input.femur.side,
    procedure: 'medial-partial',
    recipe: input.choices.recipe,
    cuts: planned,
    femoralPlace: placeOf(cuts, cuts.sites),
    femoralFaces: facePlanes(sawn.faces),
    volumes: {
      femurRemovedMm3: fromFemur.removedMm3,
      femurRemovedBoundMm3: fromFemur.boundMm3,
      tibiaRemovedMm3: fromTibia.removedMm3,
      tibiaRemovedBoundMm3: fromTibia.boundMm3,
      femurComponentMm3: component.femoralVolumeMm3,
      tibiaComponentMm3: component.tibialVolumeMm3,
      femurBlockTopMm: blockTopMm,
    },
    implants,
    sites,
    coverage: partialCoverage(bed, trayFit),
    limits,
    corrections: restricted.value,
    restriction: null,
    gaps: partialGaps(sites, cuts.sites),
    after,
    consequences: {
      legLengthChangeMm: legs.change,
      jointLineObliquityDeg: after.ldfaDeg + after.mptaDeg,
      tibialShiftMedialMm: less(difference('tibia-medial')),
      tibialShiftLateralMm: 0,
      posteriorOffsetChangeMedialMm: less(difference('femur-posterior-medial')),
      posteriorOffsetChangeLateralMm: 0,
      notchMm: null,
      patellofemoral: null,
    },
    tray: placedPartialTray(bed, trayFit),
    femoralBlock: block,
    femoralNotch: notch,
    conversion: conversion.ok ? conversion.value : null,
    components: placed,
    assumptions: planAssumptions(input.choices),
    warnings: [
      ...partialWarnings(input, planned, sites, conversion, after),
      ...seatWarnings(planned),
      ...unjudged(limits),
    ],
  })
}

function blockPlane({ femur }: PlanInput, topMm: number): Plane {
  const { origin, proximal } = legAxes(femur.frame, femur.side)
  return { point: addScaled(origin, proximal, topMm), normal: scale(proximal, -1) }
}

function topOf({ femur }: PlanInput, { mesh, patientFromComponent }: PlacedComponent): number {
  const axes = legAxes(femur.frame, femur.side)
  let top = Number.NEGATIVE_INFINITY
  for (let i = 0; i < mesh.positions.length; i += 3) {
    const p: Vec3 = [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]
    top = Math.max(top, coordinatesOf(axes, mapPoint(patientFromComponent, p))[1])
  }
  return top
}

function placedComponents(input: PlanInput, chosen: ChosenPartial): readonly PlacedComponent[] {
  const right = input.femur.side === 'right'
  const { component, femoral, bed, trayFit } = chosen
  return [
    {
      id: 'femoral',
      bone: 'femur',
      mesh: right ? component.femoralSolid : mirrorAcrossZ(component.femoralSolid),
      patientFromComponent: outOfFrame(femoral.frame),
    },
    {
      id: 'tibial',
      bone: 'tibia',
      mesh: right ? component.tibialSolid : mirrorAcrossZ(component.tibialSolid),
      patientFromComponent: outOfFrame(partialTrayFrame(bed, trayFit, right)),
    },
  ]
}

/** Limb axis after = native, plus atan(over-replacement / spacing of the compartments); joint lines likewise (conventions). */
function afterPartial({ angles, tibia }: PlanInput, cuts: PartialCuts): AfterCuts {
  const difference = (id: string) => cuts.sites.find((s) => s.id === id)?.differenceMm ?? 0
  const tibial = difference('tibia-medial')
  const femoral = difference('femur-distal-medial')
  const axes = legAxes(tibia.frame, tibia.side)
  const spacing = Math.abs(dot(axes.lateral, sub(tibia.lateral.point, tibia.medial.point)))
  const turn = (mm: number) => toDeg(Math.atan(mm / spacing))
  const nativeHka = angles.hkaDeg ?? (angles.arithmeticHkaDeg === null ? null : 180 + angles.arithmeticHkaDeg)
  return {
    hkaDeg: nativeHka === null ? null : nativeHka + turn(-tibial - femoral),
    ldfaDeg: (angles.ldfaDeg ?? 90 - cuts.valgusDeg) + turn(femoral),
    mptaDeg: (angles.mptaDeg ?? 90 - cuts.varusDeg) - turn(tibial),
    slopeDeg: cuts.slopeDeg,
    jointLineShiftMedialMm: femoral,
    jointLineShiftLateralMm: 0,
    legLengthMm: null,
  }
}

function partialLimits(input: PlanInput, cuts: PartialCuts, after: AfterCuts): readonly Limit[] {
  const { limbDeg, jointLineLowDeg, jointLineHighDeg } = input.choices.limits
  return [
    judge('hka', after.hkaDeg, 180 - limbDeg, 180 + limbDeg, 2, commonPractice),
    judge('tray-varus', cuts.varusDeg, -5, 5, 5, commonPractice),
    judge('mpta', after.mptaDeg, jointLineLowDeg, jointLineHighDeg, 2, commonPractice),
    judge('slope', cuts.slopeDeg, 0, 10, 2, commonPractice),
  ]
}

function partialWarnings(
  input: PlanInput,
  planned: readonly PlannedCut[],
  sites: readonly Site[],
  conversion: Result<Conversion>,
  after: AfterCuts,
): readonly Warning[] {
  const warnings: Warning[] = [
    {
      code: 'plan/partial',
      message:
        'A medial partial has no anterior cut: cortex and groove stay as they are, so there is no notch and no patellofemoral change to tell; the lateral compartment is left alone.',
      spoils: ['consequences.notchMm', 'consequences.patellofemoral'],
    },
    ...(after.legLengthMm === null
      ? [
          {
            code: 'plan/withheld',
            message: 'Hip, ankle or the lateral condyle are not on the meshes; leg length is withheld.',
            spoils: ['after.legLengthMm', 'consequences.legLengthChangeMm'],
          },
        ]
      : []),
  ]
  warnings.push(...standInWarnings(input))
  warnings.push(...openBoneWarnings({ femur: input.femurBone, tibia: input.tibiaBone }, planned, sites))
  if (!conversion.ok)
    warnings.push({
      code: 'plan/conversion',
      message: `No later total was planned: ${conversion.failure.message}`,
      spoils: ['conversion'],
    })
  else if (conversion.value.tibialBoneLeftMm3 === null)
    warnings.push({
      code: 'mesh/open',
      message: 'The bone left for a later total is withheld: the tibia has no inside.',
      spoils: ['conversion.tibialBoneLeftMm3', 'conversion.tibialBoneLeftBoundMm3'],
    })
  return warnings
}
