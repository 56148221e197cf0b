import { sideFactor } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import { section } from '../geometry/section.ts'
import { partialFamily, sizeOf } from '../implants/families.ts'
import { type MeasuredPartial, measurePartial } from '../implants/measured.ts'
import type { PartialFemoralSize } from '../implants/partial-family.ts'
import { partialFaces } from './component-faces.ts'
import { condyleSupport } from './condyles.ts'
import { legAxes } from './leg-axes.ts'
import { layPartialCuts, type PartialCuts } from './partial-cuts.ts'
import {
  distalReachMm,
  fitPartialTray,
  notchPlane,
  type PartialBed,
  type PartialFemoralPlace,
  type PartialTrayFit,
  partialBed,
  placePartialFemoral,
  proposePartialTray,
  shiftedPartialTray,
} from './partial-place.ts'
import { tibialBed } from './place-tray.ts'
import type { PlanInput } from './plan.ts'
import type { PlanImplants } from './planned.ts'
import { type SawnFemur, sawFemur } from './sawn-femur.ts'

/** Components of a medial partial chosen or proposed, laid and placed. */
export interface ChosenPartial {
  readonly cuts: PartialCuts
  readonly component: MeasuredPartial
  readonly bed: PartialBed
  readonly trayFit: PartialTrayFit
  readonly femoral: PartialFemoralPlace
  /** The femoral cuts as sawn; `cuts` are those of the component's own faces. */
  readonly sawn: SawnFemur
  readonly implants: PlanImplants
}

/**
 * Lays the cuts with first components, proposes the sizes that are not chosen, and lays them again with the final ones. Failures: an
 * impossible size, a cut that meets no bone.
 */
export function choosePartial(input: PlanInput): Result<ChosenPartial> {
  const { choices, femur, tibia, femurBone, tibiaBone } = input
  const family = partialFamily(choices.implants.family, choices.implants.own)
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
  const trayFit = shiftedPartialTray(
    bed,
    tray ? tray.proposed : fitPartialTray(bed, firstTibial.value),
    choices.cuts.tibia,
  )
  if (trayFit.besideMm > 1e-9)
    return fail(
      'plan/infeasible',
      `Shifted ${trayFit.besideMm.toFixed(1)} mm laterally, the tray would stand in the wall of the vertical cut.`,
      { hint: 'Move the vertical cut laterally, or shift the tray medially.', place: 'cuts.tibia.shiftLateralMm' },
    )
  const femoralProposal = femurSize === null ? proposeFemoralLength(input, first.value, family.value.femoral) : null
  const femoralSize = femoralProposal?.proposed ?? firstFemoral.value

  const component = measured(femoralSize, trayFit.size, insert)
  const cuts = layPartialCuts(input, component)
  if (!cuts.ok) return cuts
  const shift = sideFactor(femur.side) * (choices.cuts.femur.shiftLateralMm ?? 0)
  if (!(section(femurBone.tree, cuts.value.distal).areaMm2 > 0))
    return fail('cut/misses-bone', 'The femoral distal cut does not meet the bone.', { place: 'femur-distal' })
  const femoral = placePartialFemoral(cuts.value, femoralSize, notchPlane(femur), shift)
  const sawn = sawFemur(
    {
      faces: partialFaces(cuts.value, femoral),
      frame: femoral.frame,
      side: femur.side,
      sites: cuts.value.sites.filter(({ id }) => id.startsWith('femur')),
    },
    choices.cuts.departures,
    condyleSupport(femur, femurBone, legAxes(femur.frame, femur.side)),
    choices.meshSurface,
  )
  return ok({
    cuts: cuts.value,
    component,
    bed,
    trayFit,
    femoral,
    sawn,
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
