import { sideFactor } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { sizeOf, totalFamily } from '../implants/families.ts'
import type { TotalFamily } from '../implants/family.ts'
import { measureFemoral, measureTibial } from '../implants/measured.ts'
import { totalFaces } from './component-faces.ts'
import { condyleSupport } from './condyles.ts'
import { type FemoralBed, type FemoralFit, femoralBed, fitFemoral, proposeFemoral } from './fit-femoral.ts'
import { type Components, type LaidCuts, layCuts } from './lay.ts'
import { legAxes } from './leg-axes.ts'
import { fitTray, proposeTray, shiftedFit, type TibialBed, type TrayFit, tibialBed } from './place-tray.ts'
import type { PlanInput } from './plan.ts'
import { type SawnFemur, sawFemur } from './sawn-femur.ts'

/** Components chosen or proposed, laid and placed. */
export interface ChosenComponents {
  readonly family: TotalFamily
  readonly components: Components
  readonly laid: LaidCuts
  readonly femoralFit: FemoralFit
  /** The femoral cuts as sawn; `laid` and `femoralFit` are those of the component's own box. */
  readonly sawn: SawnFemur
  readonly femoralSectionMm2: number
  readonly trayFit: TrayFit
  readonly bed: TibialBed
  readonly femoralRunnerUp: number | null
  readonly tibialRunnerUp: number | null
}

/**
 * Lays the cuts with a first component, proposes the sizes that are not chosen, and lays the cuts again with the final ones.
 * A size or insert the family does not have: `plan/impossible-size`; a cut that meets no bone: `cut/misses-bone`.
 */
export function chooseComponents(input: PlanInput): Result<ChosenComponents> {
  const first = firstComponents(input)
  if (!first.ok) return first
  const { family, components } = first.value
  const { implants } = input.choices
  const laid = layCuts(input, components)
  if (!laid.ok) return laid
  const femoralFirst = placeFemoral(input, laid.value)
  if (!femoralFirst.ok) return femoralFirst
  const tibialFirst = placeTibial(input, laid.value)
  if (!tibialFirst.ok) return tibialFirst

  const femoral =
    implants.femurSize === null
      ? proposeFemoral(
          input.femurBone,
          femoralFirst.value,
          components.femoral.size,
          family.femoral,
          input.choices.cuts.femur.distalMm !== null,
          input.choices.recipeOptions.femoralReferencing,
        )
      : null
  const tray = implants.tibiaSize === null ? proposeTray(tibialFirst.value, family.tibial) : null
  const final: Components = {
    femoral: femoral ? measureFemoral(femoral.proposed.size) : components.femoral,
    tibial: tray ? measureTibial(tray.proposed.size, components.tibial.insertMm) : components.tibial,
  }
  const settled = settle(input, final)
  if (!settled.ok) return settled
  const femoralBed = placeFemoral(input, settled.value)
  if (!femoralBed.ok) return femoralBed
  // Sizes of one family are equally thick as a rule; then the tibial plane, and all that was found on it, stays.
  const stays = samePlane(settled.value.tibial.plane, laid.value.tibial.plane)
  const bed = stays ? tibialFirst : placeTibial(input, settled.value)
  if (!bed.ok) return bed
  const fit = stays && tray ? tray.proposed : fitTray(bed.value, final.tibial.size)
  const femoralFit = fitFemoral(input.femurBone, femoralBed.value, final.femoral.size)
  const { femur, choices } = input
  const sawn = sawFemur(
    {
      faces: totalFaces(femoralFit.box, final.femoral.size),
      frame: femoralFit.box.frame,
      side: femur.side,
      sites: settled.value.femoral.sites,
    },
    choices.cuts.departures,
    condyleSupport(femur, input.femurBone, legAxes(femur.frame, femur.side)),
    choices.meshSurface,
  )
  return ok({
    family,
    components: final,
    laid: settled.value,
    femoralFit,
    sawn,
    femoralSectionMm2: femoralBed.value.sectionMm2,
    trayFit: shiftedFit(bed.value, fit, input.choices.cuts.tibia),
    bed: bed.value,
    femoralRunnerUp: femoral?.runnerUp?.size.size ?? null,
    tibialRunnerUp: tray?.runnerUp?.size.size ?? null,
  })
}

const samePlane = (a: Plane, b: Plane): boolean =>
  a.normal.every((v, k) => Math.abs(v - b.normal[k]!) < 1e-12) && Math.abs(signedDistance(a, b.point)) < 1e-9

/**
 * Lays the final components. Anterior referencing then moves the femoral box forward or back until its anterior cut just meets
 * the cortex at the tip of the flange; the posterior sites take what that costs.
 */
function settle(input: PlanInput, components: Components): Result<LaidCuts> {
  const laid = layCuts(input, components)
  const { recipeOptions, cuts } = input.choices
  if (!laid.ok || recipeOptions.femoralReferencing === 'posterior' || cuts.femur.posteriorMm !== null) return laid
  const placed = placeFemoral(input, laid.value)
  if (!placed.ok) return placed
  const { notchMm } = fitFemoral(input.femurBone, placed.value, components.femoral.size)
  const medial = laid.value.femoral.sites.find((site) => site.id === 'femur-posterior-medial')
  if (notchMm === null || medial === undefined) return laid
  return layCuts(input, components, (goals) => ({
    ...goals,
    femur: {
      ...goals.femur,
      rotationDeg: laid.value.femoral.externalRotationDeg,
      posteriorMm: medial.distanceMm + notchMm,
    },
  }))
}

function firstComponents({ choices }: PlanInput): Result<{ family: TotalFamily; components: Components }> {
  const family = totalFamily(choices.implants.family, choices.implants.own)
  if (!family.ok) return family
  const { femoral, tibial, insertsMm } = family.value
  const { femurSize, tibiaSize, insertMm } = choices.implants
  const thinnest = insertsMm[0]!
  const thickest = insertsMm.at(-1)!
  const insert = insertMm ?? thinnest
  if (!(insert >= thinnest && insert <= thickest))
    return fail('plan/impossible-size', `There is no insert of ${insert} mm.`, {
      hint: `Inserts run from ${thinnest} to ${thickest} mm.`,
      place: 'implants.insertMm',
    })
  const femur = sizeOf(femoral, femurSize ?? femoral[Math.floor(femoral.length / 2)]!.size, 'implants.femurSize')
  if (!femur.ok) return femur
  const tibia = sizeOf(tibial, tibiaSize ?? tibial[Math.floor(tibial.length / 2)]!.size, 'implants.tibiaSize')
  if (!tibia.ok) return tibia
  return ok({
    family: family.value,
    components: { femoral: measureFemoral(femur.value), tibial: measureTibial(tibia.value, insert) },
  })
}

function placeFemoral(input: PlanInput, laid: LaidCuts): Result<FemoralBed> {
  const bed = femoralBed(
    input.femurBone,
    laid.femoral.distal,
    laid.femoral.posterior,
    input.femur.frame.origin,
    sideFactor(input.femur.side) * (input.choices.cuts.femur.shiftLateralMm ?? 0),
  )
  return bed
    ? ok(bed)
    : fail('cut/misses-bone', 'The femoral distal cut does not meet the bone.', { place: 'femur-distal' })
}

function placeTibial(input: PlanInput, laid: LaidCuts): Result<TibialBed> {
  const cut = section(input.tibiaBone.tree, laid.tibial.plane)
  if (!(cut.areaMm2 > 0)) return fail('cut/misses-bone', 'The tibial cut does not meet the bone.', { place: 'tibia' })
  return ok(tibialBed(input.tibia, laid.tibial.plane, cut, laid.goals.tibia.rotationDeg))
}
