import { sideFactor } from '../anatomy/terms.ts'
import { ok, type Result, type Warning } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import { signedDistance } from '../geometry/plane.ts'
import { mapPoint, outOfFrame } from '../geometry/rigid.ts'
import { section } from '../geometry/section.ts'
import { addScaled, scale, type Vec3 } from '../geometry/vec.ts'
import type { BearingPoint } from '../implants/measured.ts'
import { mirrorAcrossZ } from '../implants/mirror.ts'
import { type AfterInput, afterCuts, consequencesOf, type PlacedBearings } from './after.ts'
import { planAssumptions } from './assumptions.ts'
import { type ChosenComponents, chooseComponents } from './choose.ts'
import { restrictionOf } from './corrections.ts'
import { notchMm } from './fit-femoral.ts'
import { geometricGaps } from './gaps.ts'
import { coordinatesOf, legAxes } from './leg-axes.ts'
import { commonPractice, judge, unjudged } from './limits.ts'
import { openBoneWarnings, removedFrom } from './open-bones.ts'
import { coverageOf, placedTray, trayFrame } from './place-tray.ts'
import type { PlanInput } from './plan.ts'
import type { Correction, Limit, PlacedComponent, Plan, PlannedCut, PlanVolumes, Restriction, Site } from './planned.ts'
import { facePlanes, placeOf, seatWarnings } from './seat-report.ts'
import { standInWarnings } from './stand-in-axis.ts'
import { femoralCutIds, femoralCutNames } from './terms.ts'
import { totalCuts } from './total-cuts.ts'
import { patellofemoral } from './trochlea.ts'

/** The plan of a total knee replacement. */
export function planTotal(input: PlanInput): Result<Plan> {
  const chosen = chooseComponents(input)
  if (!chosen.ok) return chosen
  const { components, laid, bed, trayFit } = chosen.value
  const placed = placedComponents(input, chosen.value)
  const blockTopMm = blockTop(input, placed)
  const block = blockPlane(input, blockTopMm)
  const cuts = totalCuts(input, chosen.value, block)
  const restriction = restrictionOf(input, components, laid)
  if (!restriction.ok) return restriction
  const { sawn, femoralFit } = chosen.value
  const sites = [...laid.tibial.sites, ...sawn.sites]
  const anterior = sawn.planes[femoralCutIds.indexOf('femur-anterior')]!
  const compared: AfterInput = {
    femur: input.femur,
    tibia: input.tibia,
    femoral: laid.femoral,
    tibial: laid.tibial,
    bearings: bearings(input, chosen.value, placed),
    nativeHkaDeg: input.angles.hkaDeg ?? arithmeticHka(input),
    notchMm: notchMm(input.femurBone, femoralFit.box, components.femoral.size, anterior),
    patellofemoral: patellofemoral(
      input.femurBone,
      legAxes(input.femur.frame, input.femur.side),
      placed[0]!,
      components.femoral.size,
      input.choices.meshSurface === 'bone' ? input.choices.cartilage.femurMm : 0,
    ),
  }
  const after = afterCuts(compared)
  const consequences = consequencesOf(compared)
  const limits = limitsOf(input, after)
  return ok({
    side: input.femur.side,
    procedure: 'total',
    recipe: input.choices.recipe,
    cuts,
    femoralPlace: placeOf(laid.femoral, laid.femoral.sites),
    femoralFaces: facePlanes(sawn.faces),
    volumes: volumesOf(cuts, chosen.value, blockTopMm),
    implants: {
      family: chosen.value.family.id,
      femurSize: components.femoral.size.size,
      femurSizeSource: input.choices.implants.femurSize === null ? 'proposed' : 'chosen',
      femurRunnerUp: chosen.value.femoralRunnerUp,
      tibiaSize: components.tibial.size.size,
      tibiaSizeSource: input.choices.implants.tibiaSize === null ? 'proposed' : 'chosen',
      tibiaRunnerUp: chosen.value.tibialRunnerUp,
      insertMm: components.tibial.insertMm,
    },
    sites,
    coverage: coverageOf(bed, trayFit),
    limits,
    corrections: chosenCorrections(input, restriction.value),
    restriction: restriction.value,
    gaps: geometricGaps(sites, [...laid.tibial.sites, ...laid.femoral.sites]),
    after,
    consequences,
    tray: placedTray(bed, trayFit),
    femoralBlock: block,
    femoralNotch: null,
    conversion: null,
    components: placed,
    assumptions: planAssumptions(input.choices),
    warnings: [
      ...warningsOf(input, chosen.value, block, cuts, sites),
      ...notchWarnings(consequences.notchMm),
      ...seatWarnings(cuts),
      ...unjudged(limits),
      ...withheld('after', after),
      ...withheld('consequences', consequences),
    ],
  })
}

/** A warning for every number of a group that could not be told, with what it needs. */
function withheld(group: string, values: object): readonly Warning[] {
  const missing = Object.entries(values).flatMap(([key, value]) => (value === null ? [`${group}.${key}`] : []))
  return missing.length === 0
    ? []
    : [
        {
          code: 'plan/withheld',
          message: 'Hip, ankle or front of the femur are not on the meshes; what needs them is withheld.',
          spoils: missing,
        },
      ]
}

const arithmeticHka = ({ angles }: PlanInput): number | null =>
  angles.arithmeticHkaDeg === null ? null : 180 + angles.arithmeticHkaDeg

function chosenCorrections({ choices }: PlanInput, restriction: Restriction | null): readonly Correction[] {
  if (restriction === null) return []
  const { restrictedAnswer } = choices.recipeOptions
  return (restrictedAnswer === 'smallest' ? restriction.smallest : restriction.ruleOfThumb).corrections
}

function placedComponents(input: PlanInput, chosen: ChosenComponents): readonly PlacedComponent[] {
  const { side } = input.femur
  const shown = (mesh: PlacedComponent['mesh']) => (side === 'right' ? mesh : mirrorAcrossZ(mesh))
  const { femoral, tibial } = chosen.components
  return [
    {
      id: 'femoral',
      bone: 'femur',
      mesh: shown(femoral.solid),
      patientFromComponent: outOfFrame(chosen.femoralFit.box.frame),
    },
    {
      id: 'tibial',
      bone: 'tibia',
      mesh: shown(tibial.solid),
      patientFromComponent: outOfFrame(trayFrame(chosen.bed, chosen.trayFit, side === 'right')),
    },
  ]
}

/** Proximal end of the anterior flange + 10 mm, y in the femur frame. */
function blockTop(input: PlanInput, placed: readonly PlacedComponent[]): number {
  const axes = legAxes(input.femur.frame, input.femur.side)
  const { mesh, patientFromComponent } = placed[0]!
  let top = Number.NEGATIVE_INFINITY
  for (let i = 0; i < mesh.positions.length; i += 3) {
    const p: Vec3 = [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]
    top = Math.max(top, coordinatesOf(axes, mapPoint(patientFromComponent, p))[1])
  }
  return top + 10
}

/** The femoral block's top; its positive side, distal of it, is where the femoral cuts act. */
function blockPlane(input: PlanInput, blockTopMm: number): Plane {
  const { origin, proximal } = legAxes(input.femur.frame, input.femur.side)
  return { point: addScaled(origin, proximal, blockTopMm), normal: scale(proximal, -1) }
}

function bearings(input: PlanInput, chosen: ChosenComponents, placed: readonly PlacedComponent[]): PlacedBearings {
  const s = sideFactor(input.femur.side)
  const at = (component: PlacedComponent, { point }: BearingPoint): Vec3 =>
    mapPoint(component.patientFromComponent, [point[0], point[1], s * point[2]])
  const { femoral, tibial } = chosen.components
  return {
    femur: { medial: at(placed[0]!, femoral.distalMedial), lateral: at(placed[0]!, femoral.distalLateral) },
    tibia: { medial: at(placed[1]!, tibial.medial), lateral: at(placed[1]!, tibial.lateral) },
  }
}

function volumesOf(cuts: readonly PlannedCut[], chosen: ChosenComponents, blockTopMm: number): PlanVolumes {
  const femur = removedFrom(cuts, 'femur')
  const tibia = removedFrom(cuts, 'tibia')
  return {
    femurRemovedMm3: femur.removedMm3,
    femurRemovedBoundMm3: femur.boundMm3,
    tibiaRemovedMm3: tibia.removedMm3,
    tibiaRemovedBoundMm3: tibia.boundMm3,
    femurComponentMm3: chosen.components.femoral.volumeMm3,
    tibiaComponentMm3: chosen.components.tibial.volumeMm3,
    femurBlockTopMm: blockTopMm,
  }
}

function limitsOf(input: PlanInput, after: Plan['after']): readonly Limit[] {
  const { limbDeg, jointLineLowDeg, jointLineHighDeg } = input.choices.limits
  return [
    judge('hka', after.hkaDeg, 180 - limbDeg, 180 + limbDeg, 2, commonPractice),
    judge('ldfa', after.ldfaDeg, jointLineLowDeg, jointLineHighDeg, 2, commonPractice),
    judge('mpta', after.mptaDeg, jointLineLowDeg, jointLineHighDeg, 2, commonPractice),
    judge('slope', after.slopeDeg, 0, 10, 2, commonPractice),
  ]
}

function warningsOf(
  input: PlanInput,
  chosen: ChosenComponents,
  block: Plane,
  cuts: readonly PlannedCut[],
  sites: readonly Site[],
): readonly Warning[] {
  const warnings: Warning[] = chosen.laid.goals.notes.map((message) => ({ code: 'plan/recipe', message, spoils: [] }))
  warnings.push(...standInWarnings(input))
  warnings.push(...openBoneWarnings({ femur: input.femurBone, tibia: input.tibiaBone }, cuts, sites))
  const top = section(input.femurBone.tree, block).loops.flat()
  chosen.sawn.planes.forEach((plane, i) => {
    const deepest = top.reduce((worst, p) => Math.min(worst, signedDistance(plane, p)), 0)
    if (deepest < -1e-9)
      warnings.push({
        code: 'cut/notch',
        message: `The femoral ${femoralCutNames[chosen.sawn.faces[i]!.id]} cut is still ${(-deepest).toFixed(1)} mm inside the bone at the top of the block.`,
        spoils: [],
      })
  })
  return warnings
}

const notchWarnings = (notch: number | null): readonly Warning[] =>
  notch !== null && notch > 0.05
    ? [
        {
          code: 'cut/notch',
          message: `The anterior cut notches the cortex by ${notch.toFixed(1)} mm at the tip of the flange.`,
          spoils: [],
        },
      ]
    : []
