import { ok, type Result } from '../failure.ts'
import { boundInside } from '../geometry/bounded-bone.ts'
import { flipped, type Plane, signedDistance } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { volumeInside } from '../geometry/volume-inside.ts'
import { chooseComponents } from './choose.ts'
import type { PartialCuts } from './partial-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { Conversion } from './planned.ts'
import { noOverrides } from './terms.ts'

/**
 * What a later total would find: the total is planned on the same native bone by the same case (without the partial's own cut
 * overrides and sizes); bone above its tibial cut that the partial left, how much deeper it must go where the partial's
 * floor lies below it, and the insert that then fills the space. Fails when no total can be planned.
 */
export function conversionOf(input: PlanInput, cuts: PartialCuts): Result<Conversion> {
  const { choices, tibiaBone } = input
  const total = chooseComponents({
    ...input,
    choices: {
      ...choices,
      procedure: 'total',
      cuts: noOverrides,
      implants: { family: 'generic-total', femurSize: null, tibiaSize: null, insertMm: null, own: null },
    },
  })
  if (!total.ok) return total
  const { laid, family, components } = total.value
  const plane = laid.tibial.plane
  const deeperMm = belowPlane(input, cuts, plane)
  const plainInsertMm = components.tibial.insertMm
  const insertMm = family.insertsMm.find((mm) => mm >= plainInsertMm + deeperMm - 1e-9) ?? null
  const tibialBoneLeftBoundMm3 = boundInside(tibiaBone, [flipped(plane)])
  return ok({
    tibialBoneLeftMm3: tibialBoneLeftBoundMm3 === null ? null : boneLeft(input, cuts, plane),
    tibialBoneLeftBoundMm3,
    deeperMm,
    insertMm,
    plainInsertMm,
  })
}

/** Above the total's plane, less the corner the partial has taken there. */
function boneLeft({ tibiaBone }: PlanInput, cuts: PartialCuts, plane: Plane): number {
  const above = flipped(plane)
  const taken = volumeInside(tibiaBone.tree, [above, flipped(cuts.horizontal), flipped(cuts.vertical)])
  return volumeInside(tibiaBone.tree, [above]) - taken
}

/** Greatest depth of the partial's floor below the total's plane, mm; 0 when it lies above it everywhere. */
function belowPlane({ tibiaBone }: PlanInput, cuts: PartialCuts, plane: Plane): number {
  let deepest = 0
  for (const p of section(tibiaBone.tree, cuts.horizontal).loops.flat()) {
    if (signedDistance(cuts.vertical, p) > 0) continue
    deepest = Math.max(deepest, signedDistance(plane, p))
  }
  return deepest
}
