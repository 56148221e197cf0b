import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { addScaled, dot, scale, sub, type Vec3 } from '../geometry/vec.ts'
import { largestFlatEnd, shareOfSection } from './cut-face.ts'
import { findHead } from './find-head.ts'
import { kneeCutOff } from './knee-cut-off.ts'
import { type LimbFrame, slab } from './limb.ts'
import { openEnd } from './open-end.ts'
import { deepestPocket, notchedShare, notchLevelShare, outlineAcross } from './outline-pocket.ts'
import { reach } from './reach.ts'
import { type Recognised, recogniseWhole } from './recognise.ts'
import { sketchOf } from './sketch.ts'

/**
 * A whole bone told from its shape, as `recogniseWhole` tells it, but for three that only look like one: a bone whose knee is cut off, a femur without a (whole) head,
 * whose wider end has a notch, and a tibia whose scan ended above the ankle, where it widens already. They are `unknown`, the last two to be looked at
 * as a part. A bone with a notch at one end and part of a head's sphere at the other is a femur. `surface` is the bone before its holes were bridged.
 */
export function recogniseBone(bone: BoneMesh, surface: BoneMesh, sketch: Mesh = sketchOf(bone.mesh)): Recognised {
  const told = recogniseWhole(bone.mesh, sketch)
  const notched = told.bone === 'tibia' && isNotched(bone, told.limb, told.limb.proximal)
  const headless = notched || (told.bone === 'unknown' && told.long)
  const seen = headless ? (withWornHead(bone, sketch) ?? told) : told
  if (seen.bone !== 'unknown' && kneeCutOff(bone, sketch, seen.limb, seen.bone))
    return { bone: 'unknown', reason: 'It ends in a flat face where its knee should be.', kneeless: true }
  if (seen.bone !== 'tibia') return seen
  if (notched) return { bone: 'unknown', reason: 'It has the notch of a femur and no head.' }
  if (endsAboveAnkle(bone, surface, sketch, seen)) return { bone: 'unknown', reason: 'It ends above the ankle.' }
  return seen
}

/** A head that is no whole sphere any more covers less of one; it is told by a notch so many lengths away. */
const wornHeadCoverage = 0.26
const headShare = 0.75

function withWornHead(bone: BoneMesh, sketch: Mesh): Recognised | null {
  const head = findHead(bone.mesh, wornHeadCoverage)
  const seen = head && recogniseWhole(bone.mesh, sketch, head)
  if (seen?.bone !== 'femur') return null
  const { limb, lengthMm } = seen
  const away = dot(sub(seen.head.centre, limb.origin), limb.proximal)
  return away > headShare * lengthMm && isNotched(bone, limb, scale(limb.proximal, -1)) ? seen : null
}

/** Whether the end that lies along `towards` (unit) from the limb's origin has a notch. */
function isNotched(bone: BoneMesh, { origin }: LimbFrame, towards: Vec3): boolean {
  const topMm = reach(bone.mesh, origin, towards)
  const full = outlineAcross(bone, addScaled(origin, towards, topMm - kneeDepthMm), towards)
  if (full === null) return false
  const widthMm = 2 * Math.max(...full.points.flat().map(([a, b]) => Math.hypot(a, b)))
  const outline = outlineAcross(bone, addScaled(origin, towards, topMm - notchLevelShare * widthMm), towards)
  const pocket = outline && deepestPocket(outline.points, null)
  return pocket !== null && pocket.depth > notchedShare * widthMm
}

/** So far below the top the knee's end has about its full width, mm. */
const kneeDepthMm = 20

function endsAboveAnkle(
  bone: BoneMesh,
  surface: BoneMesh,
  sketch: Mesh,
  { limb, lengthMm }: { readonly limb: LimbFrame; readonly lengthMm: number },
): boolean {
  const distal = scale(limb.proximal, -1)
  const low = slab(sketch, limb.origin, limb.proximal, -1.2 * lengthMm, -0.8 * lengthMm)
  const open = openEnd(surface)
  const end = open && dot(open.normal, distal) > facing ? open : largestFlatEnd(low, distal)
  if (end === null || Math.abs(dot(end.normal, distal)) < facing) return false
  return shareOfSection(bone, end, beyondMm) > fullShare
}

/** An end faces along the shaft within 45°. */
const facing = Math.SQRT1_2
/** A scan's end is as large as the section some way above it; the joint surface is not, beside its malleolus. */
const fullShare = 0.8
const beyondMm = 12
