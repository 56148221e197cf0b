import type { BoneMesh } from '../geometry/bone.ts'
import { fitLine } from '../geometry/fit.ts'
import { section } from '../geometry/section.ts'
import { addScaled, dot, scale, type Vec3 } from '../geometry/vec.ts'
import type { LimbFrame } from './limb.ts'
import type { Axis } from './terms.ts'

/** Least-squares line through the centres of cross-sections, with what it left over. */
export interface ShaftAxis extends Axis {
  readonly rmsMm: number
  /** Centres of the sections, distal first, patient frame. */
  readonly centres: readonly Vec3[]
}

const sections = 21

/**
 * Shaft axis of a bone: least-squares line through the area centroids of 21 sections perpendicular to the unit `long`,
 * from `fromMm` to `toMm` along it from `origin` (patient frame, mm). Null when fewer than three sections meet bone.
 */
export function shaftAxis(bone: BoneMesh, origin: Vec3, long: Vec3, fromMm: number, toMm: number): ShaftAxis | null {
  const centres: Vec3[] = []
  for (let i = 0; i < sections; i++) {
    const at = Math.min(fromMm, toMm) + (Math.abs(toMm - fromMm) * i) / (sections - 1)
    const { centroid } = section(bone.tree, { point: addScaled(origin, long, at), normal: long })
    if (centroid !== null) centres.push(centroid)
  }
  const fit = fitLine(centres)
  if (!fit.ok || centres.length < 3) return null
  const { point, direction, rmsMm } = fit.value
  return { point, direction: dot(direction, long) >= 0 ? direction : scale(direction, -1), rmsMm, centres }
}

/** Shorter than this the sections' centres say less about the direction than the frame does, mm. */
const leastStretchMm = 20

/**
 * Axis of the stretch of shaft a truncated bone has, between two heights of its limb frame. Where the stretch is too
 * short or too uneven, `standIn` (unit) through its middle.
 */
export function availableShaft(bone: BoneMesh, limb: LimbFrame, fromMm: number, toMm: number, standIn: Vec3): Axis {
  const fit = shaftAxis(bone, limb.origin, limb.proximal, fromMm, toMm)
  const straight = fit !== null && Math.abs(toMm - fromMm) >= leastStretchMm && fit.rmsMm < 2
  if (straight) return { point: fit.point, direction: fit.direction }
  return { point: fit?.point ?? addScaled(limb.origin, limb.proximal, (fromMm + toMm) / 2), direction: standIn }
}
