import { sideFactor } from '../anatomy/terms.ts'
import { fail, ok, type Result, type Warning } from '../failure.ts'
import { boundInside } from '../geometry/bounded-bone.ts'
import { flipped, offsetPlane, type Plane } from '../geometry/plane.ts'
import { mapPoint, outOfFrame } from '../geometry/rigid.ts'
import { section } from '../geometry/section.ts'
import { addScaled, dot, scale, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import { volumeInside } from '../geometry/volume-inside.ts'
import { partialFamily, sizeOf } from '../implants/families.ts'
import { type MeasuredPartial, measurePartial } from '../implants/measured.ts'
import { mirrorAcrossZ } from '../implants/mirror.ts'
import type { PartialFamily, PartialFemoralSize } from '../implants/partial-family.ts'
import { planAssumptions } from './assumptions.ts'
import { conversionOf } from './conversion.ts'
import { cutFaceMm2 } from './cut-faces.ts'
import { coordinatesOf, legAxes } from './leg-axes.ts'
import { commonPractice, judge } from './limits.ts'
import { openBoneWarnings, removedFrom } from './open-bones.ts'
import { layPartialCuts, type PartialCuts } from './partial-cuts.ts'
import {
  distalReachMm,
  fitPartialTray,
  type PartialBed,
  type PartialFemoralPlace,
  type PartialTrayFit,
  partialBed,
  partialCoverage,
  partialTrayFrame,
  placedPartialTray,
  placePartialFemoral,
  proposePartialTray,
} from './partial-place.ts'
import { tibialBed } from './place-tray.ts'
import type { PlanInput } from './plan.ts'
import type { AfterCuts, Conversion, Limit, PlacedComponent, Plan, PlanImplants, PlannedCut, Site } from './planned.ts'
import { seriesVolumes } from './removed.ts'
import { blankCut } from './total-cuts.ts'

/** The plan of a medial partial knee replacement. */
export function planPartial(input: PlanInput): Result<Plan> {
  const chosen = choosePartial(input)
  if (!chosen.ok) return chosen
  const { cuts, component, bed, trayFit, femoral, implants } = chosen.value
  const notch = notchPlane(input)
  const placed = placedComponents(input, chosen.value)
  const blockTopMm = topOf(input, placed[0]!) + 10
  const block = blockPlane(input, blockTopMm)
  const planned = plannedCuts(input, cuts, femoral, [block, notch])
  const after = afterPartial(input, cuts)
  const fromFemur = removedFrom(planned, 'femur')
  const fromTibia = removedFrom(planned, 'tibia')
  const conversion = conversionOf(input, cuts)
  const difference = (id: string) => cuts.sites.find((s) => s.id === id)?.differenceMm ?? null
  const less = (v: number | null) => (v === null ? null : 0 - v)
  return ok({
    side: input.femur.side,
    procedure: 'medial-partial',
    recipe: input.choices.recipe,
    cuts: planned,
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
    sites: cuts.sites,
    coverage: partialCoverage(bed, trayFit),
    limits: partialLimits(input, cuts, after),
    corrections: [],
    restriction: null,
    gaps: null,
    after,
    consequences: {
      legLengthChangeMm: null,
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
    warnings: partialWarnings(input, planned, cuts.sites, conversion),
  })
}

interface ChosenPartial {
  readonly family: PartialFamily
  readonly cuts: PartialCuts
  readonly component: MeasuredPartial
  readonly bed: PartialBed
  readonly trayFit: PartialTrayFit
  readonly femoral: PartialFemoralPlace
  readonly implants: PlanImplants
}

function choosePartial(input: PlanInput): Result<ChosenPartial> {
  const { choices, femur, tibia, femurBone, tibiaBone } = input
  const family = partialFamily(choices.implants.family)
  if (!family.ok) return family
  const { femurSize, tibiaSize, insertMm } = choices.implants
  const inserts = family.value.insertsMm
  const insert = insertMm ?? inserts[0]!
  if (!(insert >= inserts[0]! && insert <= inserts.at(-1)!))
    return fail('plan/impossible-size', `There is no insert of ${insert} mm.`, {
      hint: `Inserts run from ${inserts[0]} to ${inserts.at(-1)} mm.`,
      place: 'implants.insertMm',
    })
  const firstFemoral = sizeOf(family.value.femoral, femurSize ?? 4, 'implants.femurSize')
  if (!firstFemoral.ok) return firstFemoral
  const firstTibial = sizeOf(family.value.tibial, tibiaSize ?? 4, 'implants.tibiaSize')
  if (!firstTibial.ok) return firstTibial

  const first = layPartialCuts(input, measured(firstFemoral.value, firstTibial.value, insert))
  if (!first.ok) return first
  const cut = section(tibiaBone.tree, first.value.horizontal)
  if (!(cut.areaMm2 > 0)) return fail('cut/misses-bone', 'The tibial cut does not meet the bone.', { place: 'tibia' })
  const bed = partialBed(tibialBed(tibia, first.value.horizontal, cut, first.value.rotationDeg), first.value.vertical)
  if (!(bed.areaMm2 > 0))
    return fail('cut/misses-bone', 'The vertical cut leaves no medial plateau.', { place: 'tibia-vertical' })
  const tray = tibiaSize === null ? proposePartialTray(bed, family.value.tibial) : null
  const trayFit = tray ? tray.proposed : fitPartialTray(bed, firstTibial.value)
  const femoralProposal = femurSize === null ? proposeFemoralLength(input, first.value, family.value.femoral) : null
  const femoralSize = femoralProposal?.proposed ?? firstFemoral.value

  const component = measured(femoralSize, trayFit.size, insert)
  const cuts = layPartialCuts(input, component)
  if (!cuts.ok) return cuts
  const shift = sideFactor(femur.side) * (choices.cuts.femur.shiftLateralMm ?? 0)
  if (!(section(femurBone.tree, cuts.value.distal).areaMm2 > 0))
    return fail('cut/misses-bone', 'The femoral distal cut does not meet the bone.', { place: 'femur-distal' })
  return ok({
    family: family.value,
    cuts: cuts.value,
    component,
    bed,
    trayFit,
    femoral: placePartialFemoral(cuts.value, femoralSize, notchPlane(input), shift),
    implants: {
      family: family.value.id,
      femurSize: femoralSize.size,
      femurSizeSource: femoralProposal ? 'proposed' : 'chosen',
      femurRunnerUp: femoralProposal?.runnerUp ?? null,
      tibiaSize: trayFit.size.size,
      tibiaSizeSource: tray ? 'proposed' : 'chosen',
      tibiaRunnerUp: tray?.runnerUp?.size.size ?? null,
      insertMm: insert,
    },
  })
}

/** Sizing rule: the longest distal side that ends on the distal section; the runner-up is the next longer. */
function proposeFemoralLength(
  { femurBone }: PlanInput,
  cuts: PartialCuts,
  sizes: readonly PartialFemoralSize[],
): { readonly proposed: PartialFemoralSize; readonly runnerUp: number | null } {
  const reach = distalReachMm(femurBone, cuts)
  const found = Math.max(
    0,
    sizes.findLastIndex((size) => size.distalLengthMm <= reach),
  )
  return { proposed: sizes[found]!, runnerUp: (sizes[found + 1] ?? sizes[found - 1])?.size ?? null }
}

const kept = new WeakMap<PartialFemoralSize, Map<string, MeasuredPartial>>()

function measured(
  femoral: PartialFemoralSize,
  tibial: Parameters<typeof measurePartial>[1],
  insert: number,
): MeasuredPartial {
  const perFemoral = kept.get(femoral) ?? new Map<string, MeasuredPartial>()
  kept.set(femoral, perFemoral)
  const key = `${tibial.overallApMm}/${tibial.size}/${insert}`
  const known = perFemoral.get(key)
  if (known) return known
  const fresh = measurePartial(femoral, tibial, insert)
  perFemoral.set(key, fresh)
  return fresh
}

/** Limits the femoral cuts laterally: through the knee centre (notch), its positive side medial. */
function notchPlane({ femur }: PlanInput): Plane {
  const { origin, lateral } = legAxes(femur.frame, femur.side)
  return { point: origin, normal: scale(lateral, -1) }
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

function plannedCuts(
  input: PlanInput,
  cuts: PartialCuts,
  femoral: PartialFemoralPlace,
  block: readonly Plane[],
): readonly PlannedCut[] {
  const { femurBone, tibiaBone, choices } = input
  const kerf = choices.saw.kerfMm
  const { horizontal, vertical } = cuts
  const above = flipped(horizontal)
  const medial = flipped(vertical)
  const inside = (...planes: Plane[]) => volumeInside(tibiaBone.tree, planes)
  // The corner comes off in one piece: its slab at the floor counts to the horizontal cut, the rest of the slab at the wall to the vertical.
  const corner = inside(above, medial)
  const overFloor = inside(offsetPlane(above, kerf), medial)
  const piece = inside(offsetPlane(above, kerf), offsetPlane(medial, kerf))
  const slabAtWall = overFloor - piece
  const cornerBoundMm3 = boundInside(tibiaBone, [above, medial])
  const wallBoundMm3 = boundInside(tibiaBone, [offsetPlane(above, kerf), medial, offsetPlane(vertical, -kerf)])
  const floor =
    cornerBoundMm3 === null || wallBoundMm3 === null
      ? null
      : {
          removedMm3: corner - slabAtWall,
          removedBoundMm3: Math.max(0, cornerBoundMm3 - wallBoundMm3),
          kerfMm3: corner - overFloor,
          pieceMm3: piece,
        }
  const wall =
    wallBoundMm3 === null
      ? null
      : { removedMm3: slabAtWall, removedBoundMm3: wallBoundMm3, kerfMm3: slabAtWall, pieceMm3: 0 }
  const depth = (id: string) => cuts.sites.find((s) => s.id === id)?.distanceMm ?? null
  const planes = [cuts.distal, cuts.posterior, femoral.chamfer]
  const series = seriesVolumes(femurBone, planes, block, kerf)
  const face = (i: number) => cutFaceMm2(femurBone, planes[i]!, [...block, ...planes.slice(0, i)])
  return [
    {
      ...blankCut('tibia', horizontal, floor),
      varusDeg: cuts.varusDeg,
      slopeDeg: cuts.slopeDeg,
      rotationDeg: cuts.rotationDeg,
      depthMm: depth('tibia-medial'),
      sectionMm2: cutFaceMm2(tibiaBone, horizontal, [medial]),
    },
    {
      ...blankCut('tibia-vertical', vertical, wall),
      rotationDeg: cuts.rotationDeg,
      depthMm: cuts.verticalMm,
      sectionMm2: cutFaceMm2(tibiaBone, vertical, [above]),
    },
    {
      ...blankCut('femur-distal', cuts.distal, series?.[0] ?? null),
      valgusDeg: cuts.valgusDeg,
      flexionDeg: cuts.flexionDeg,
      depthMm: depth('femur-distal-medial'),
      sectionMm2: face(0),
    },
    {
      ...blankCut('femur-posterior', cuts.posterior, series?.[1] ?? null),
      externalRotationDeg: cuts.externalRotationDeg,
      depthMm: depth('femur-posterior-medial'),
      sectionMm2: face(1),
    },
    { ...blankCut('femur-chamfer-posterior', femoral.chamfer, series?.[2] ?? null), sectionMm2: face(2) },
  ]
}

/** Limb axis after = native, plus atan(over-replacement / spacing of the compartments); joint lines likewise (conventions). */
function afterPartial({ angles, femur, tibia }: PlanInput, cuts: PartialCuts): AfterCuts {
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
    jointLineShiftLateralMm: femur.truncated ? null : 0,
    legLengthMm: null,
  }
}

function partialLimits(input: PlanInput, cuts: PartialCuts, after: AfterCuts): readonly Limit[] {
  const { limbDeg, jointLineLowDeg, jointLineHighDeg } = input.choices.limits
  const limits = [
    judge('tray-varus', cuts.varusDeg, -5, 5, 5, commonPractice),
    judge('mpta', after.mptaDeg, jointLineLowDeg, jointLineHighDeg, 2, commonPractice),
    judge('slope', cuts.slopeDeg, 0, 10, 2, commonPractice),
  ]
  if (after.hkaDeg !== null) limits.unshift(judge('hka', after.hkaDeg, 180 - limbDeg, 180 + limbDeg, 2, commonPractice))
  return limits
}

function partialWarnings(
  input: PlanInput,
  planned: readonly PlannedCut[],
  sites: readonly Site[],
  conversion: Result<Conversion>,
): readonly Warning[] {
  const warnings: Warning[] = [
    {
      code: 'plan/partial',
      message: 'Gaps and leg length are not modelled for a partial; the lateral compartment stays as it is.',
      spoils: [
        'gaps',
        'after.legLengthMm',
        'consequences.legLengthChangeMm',
        'consequences.notchMm',
        'consequences.patellofemoral',
      ],
    },
  ]
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
