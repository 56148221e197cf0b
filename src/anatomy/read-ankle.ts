import type { Mesh } from '../geometry/mesh.ts'
import { distance, type Vec3 } from '../geometry/vec.ts'
import { bearingPatch, withinDeg } from './bearing-patch.ts'
import { coarseness, type Grain } from './calm-surface.ts'
import { refineCrest } from './crest.ts'
import { extentsAbove } from './extents-above.ts'
import { type HeightField, heightField } from './height-field.ts'
import { type LimbFrame, meshIntoLimb } from './limb.ts'
import type { BearingPatch } from './settled-patch.ts'

/** How finely a reading looks. */
export interface ReadingEffort {
  /** Step of the height fields, mm. */
  readonly stepMm: number
  /** Most rounds of a patch. */
  readonly rounds: number
  readonly grain: Grain
}

/**
 * Plafond and tip of the medial malleolus on the distal end of a tibia in limb coordinates (only their Y matters), mm; `kneeLevel`
 * is the knee centre's height. Null when no patch faces down.
 */
export function readAnkle(
  bottom: Mesh,
  kneeLevel: number,
  effort: ReadingEffort,
): { readonly plafond: BearingPatch; readonly malleolus: Vec3 } | null {
  const foot = footOf(bottom, kneeLevel, effort)
  const plafond = foot && plafondOf(foot.seen, effort)
  if (foot === null || plafond === null) return null
  return { plafond, malleolus: refineCrest(bottom, foot.lowest, { up: 1, sense: -1, radiusMm: effort.grain.tipMm }) }
}

/** The distal end seen from below, up to a twentieth of the way to the knee, and its lowest corner. */
function footOf(bottom: Mesh, kneeLevel: number, { stepMm, grain }: ReadingEffort) {
  const foot = extentsAbove(bottom, Number.NEGATIVE_INFINITY)
  if (foot === null) return null
  const region = { ...foot, y: [foot.y[0], foot.y[0] + 0.05 * (kneeLevel - foot.y[0])] as const }
  const seen = heightField(bottom, 'below', region, stepMm, grain.slopeMm + coarseness(foot.edgeMm))
  return seen && { seen, lowest: foot.lowest }
}

const plafondOf = (seen: HeightField, { grain, rounds }: ReadingEffort, leanDeg?: number): BearingPatch | null =>
  bearingPatch(seen, everywhere, grain.dropMm, rounds, leanDeg)

const everywhere = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const

/**
 * How far the middle of a plafond (limb coordinates, mm) moves when surface that leans a little less or more counts for it: a strip along the
 * rim that just hangs together with it may be a quarter of its area. 0 where there is no distal end (patient frame) or no plafond.
 */
export function plafondWanderMm(
  distal: Mesh | null,
  limb: LimbFrame,
  plafond: BearingPatch | null,
  effort: ReadingEffort,
): number {
  const foot = distal && plafond && footOf(meshIntoLimb(distal, limb), 0, effort)
  if (!foot) return 0
  const moved = [-triedDeg, triedDeg].map((deg) => {
    const other = plafondOf(foot.seen, effort, withinDeg + deg)
    return other ? distance(other.point, plafond.point) : 0
  })
  return Math.max(...moved)
}

const triedDeg = 3
/** Of a plafond told by its own shape the middle moves less, mm. */
const mostWanderMm = 2.5

/** Why a plafond whose middle moves so far is not sure; null where it is. */
export const wanderingPlafond = (wanderMm: number): string | null =>
  wanderMm > mostWanderMm
    ? `The joint surface of the ankle runs into its rim: its middle lies ${wanderMm.toFixed(1)} mm away when a little less or more of the rim counts.`
    : null
