import type { BoneMesh } from '../geometry/bone.ts'
import { addScaled, dot, scale, toDeg, unit, type Vec3 } from '../geometry/vec.ts'
import type { CutFace } from './cut-face.ts'
import { slicesAlong } from './profile.ts'
import { ramp } from './ramp.ts'
import { reach } from './reach.ts'
import { shaftAxis } from './shaft-axis.ts'

/**
 * The end of a scan with its normal along the shaft (mm, patient frame): a ragged end tells its direction poorly, and one cut obliquely tells
 * another; the shaft next to it tells it better, where there is enough of it. The end then lies where the whole section is bone. A flat
 * end square to its shaft, and one with no shaft beside it, are returned as they are.
 */
export function uprightCut(bone: BoneMesh, end: CutFace): CutFace {
  let cut = end
  let turned = 1
  for (let round = 0; round < 4; round++) {
    const widthMm = widthAcross(bone, cut)
    // Nearer to the joint the flare of the condyles would be taken for the shaft.
    if (reach(bone.mesh, cut.point, scale(cut.normal, -1)) < shaftShownShare * widthMm) return end
    const normal = shaftDirection(bone, cut, widthMm, { mostRmsMm: 3, leastCosine: mostTurned })
    if (normal === null || dot(normal, end.normal) < mostTurned) break
    turned = dot(normal, end.normal)
    cut = { ...end, normal, point: addScaled(end.point, normal, -insideMm(end, turned)) }
  }
  if (end.raggedMm > raggedFromMm) return cut
  const share = ramp(toDeg(Math.acos(Math.min(1, turned))), ...obliqueDeg)
  if (share === 0) return end
  const normal = unit(addScaled(scale(end.normal, 1 - share), cut.normal, share))
  return { ...end, normal, point: addScaled(end.point, normal, -insideMm(end, dot(normal, end.normal))) }
}

/** How far the innermost edge of an oblique round face lies inside its middle, along the shaft, mm. */
const insideMm = ({ areaMm2 }: CutFace, cosine: number): number =>
  Math.sqrt((areaMm2 / Math.PI) * cosine) * Math.sqrt(1 / cosine ** 2 - 1)

/** A part this long in widths shows some shaft beside its joint end. */
export const shaftShownShare = 0.7

/** Down to so many widths from the joint the condyles flare. */
const flareShare = 0.85

/** From this standard deviation on an end is ragged, mm. */
export const raggedFromMm = 0.3

/** An end leans no more than 41° to its shaft. */
const mostTurned = 0.75
/** Up to the first an end is square to its shaft and tells its direction, from the second on the shaft does; between, both, so that noise turns little. */
const obliqueDeg = [9, 16] as const

/** Largest width across the shaft's direction, mm, as a part's width is told. */
export const widthOf = (wideMm: readonly number[]): number => 2.4 * Math.max(...wideMm)

function widthAcross(bone: BoneMesh, cut: CutFace): number {
  const towardsJoint = scale(cut.normal, -1)
  const depth = reach(bone.mesh, cut.point, towardsJoint)
  const levels = Array.from({ length: 20 }, (_, i) => (depth * (i + 0.5)) / 20)
  return widthOf(slicesAlong(bone.mesh, cut.point, towardsJoint, levels).map((s) => s.wideMm))
}

/** How straight a shaft's sections lie, and how near to the end's normal. */
interface Straightness {
  readonly mostRmsMm: number
  readonly leastCosine: number
}

/** Unit direction from joint to shaft by the sections between the cut and the flare of the condyles (mm); null when there is too little shaft. */
export function shaftDirection(
  bone: BoneMesh,
  cut: CutFace,
  widthMm: number,
  { mostRmsMm, leastCosine }: Straightness = { mostRmsMm: 2, leastCosine: 0.9 },
): Vec3 | null {
  const to = -0.03 * widthMm - cut.raggedMm
  // All of the shaft there is, up to the flare of the condyles; on a short part what lies next to the cut.
  const shaftMm = reach(bone.mesh, cut.point, scale(cut.normal, -1)) - flareShare * widthMm
  const from = Math.min(-0.32 * widthMm - cut.raggedMm, -shaftMm)
  const axis = shaftAxis(bone, cut.point, cut.normal, from, to)
  if (axis === null || axis.rmsMm > mostRmsMm) return null
  return dot(axis.direction, cut.normal) > leastCosine ? axis.direction : null
}
