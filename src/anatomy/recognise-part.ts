import type { BoneMesh } from '../geometry/bone.ts'
import { addScaled, cross, distance, dot, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { bridgeCondyles } from './bridge.ts'
import { type CutFace, cutFace } from './cut-face.ts'
import { farEnd } from './far-end.ts'
import { lateralVotes, proudOfGroove, ridgeShare } from './lateral-votes.ts'
import { intoLimb, type LimbFrame, limbFromLateral, meshIntoLimb, sideOfLimb } from './limb.ts'
import { deepestPocket, notchedShare, notchLevelShare, outlineAcross } from './outline-pocket.ts'
import { reachesAlong, type Slice, slicesAlong } from './profile.ts'
import { reach } from './reach.ts'
import type { Side } from './terms.ts'
import type { Flat } from './tibial-contours.ts'
import { raggedFromMm, shaftDirection, shaftShownShare, uprightCut, widthOf } from './upright-cut.ts'

/** A distal femur or proximal tibia whose scan ended in the shaft. */
export interface RecognisedPart {
  readonly bone: 'femur' | 'tibia'
  readonly limb: LimbFrame
  readonly cut: CutFace
  /** Largest width across, mm. */
  readonly widthMm: number
  /** How clearly shape tells the side, in votes; 1 and more is clear. */
  readonly sideVotes: number
}

/**
 * Recognises the knee end of a femur or tibia that is cut off in the shaft (mm, patient frame): the cut face (or a long bone's own axis) tells the
 * long direction, the notch between the condyles tells femur from tibia and front from back, and medial from lateral
 * follow votes of several features. `surface` is the bone before its holes were bridged. Null when there is no end or the joint shows neither.
 */
export function recognisePart(bone: BoneMesh, surface: BoneMesh): RecognisedPart | null {
  const part = (end: CutFace | null) => end && partWithEnd(bone, end)
  // Where most of the shaft is there, its own axis says more than whatever the far end looks like.
  return (
    part(farEnd(bone, mostOfShaft)) ?? part(cutFace(bone.mesh, surface)) ?? part(farEnd(bone, longForItsWidth)) ?? null
  )
}

/** Lengths over the width of the wider end: 230 mm and more, and what is long enough to show an axis at all. */
const mostOfShaft = 3
const longForItsWidth = 2

function partWithEnd(bone: BoneMesh, end: CutFace): RecognisedPart | null {
  const cut = uprightCut(bone, end)
  const towardsJoint = scale(cut.normal, -1)
  const depth = reach(bone.mesh, cut.point, towardsJoint)
  const levels = Array.from({ length: 40 }, (_, i) => (depth * (i + 0.5)) / 40)
  const slices = slicesAlong(bone.mesh, cut.point, towardsJoint, levels)
  const widthMm = widthOf(slices.map((s) => s.wideMm))
  if (!(widthMm > 56 && widthMm < 130 && depth > 0.4 * widthMm)) return null
  // A fifth of the width in from the joint lies in the notch of a femur and in the full condyles of a tibia.
  const pocketAt = (share: number) => {
    const outline = outlineAcross(bone, addScaled(cut.point, towardsJoint, depth - share * widthMm), cut.normal)
    const pocket = outline && deepestPocket(outline.points, null)
    return outline && pocket && { depth: pocket.depth, opens: unit(outline.out(pocket.direction)) }
  }
  const pocket = pocketAt(notchLevelShare)
  if (pocket === null) return null
  return pocket.depth > notchedShare * widthMm
    ? partOfFemur(bone, cut, widthMm, slices, (pocketAt(backLevelShare) ?? pocket).opens)
    : partOfTibia(bone, cut, widthMm, slices, depth)
}

/**
 * That far in from the joint, in widths, the notch opens backwards alone: six femora are hollowed to 22…29 mm behind and 3…7 in front. Nearer to the
 * joint, or where a bump on a condyle makes the joint seem farther off, it opens to both sides.
 */
const backLevelShare = 0.26

function partOfFemur(
  bone: BoneMesh,
  cut: CutFace,
  widthMm: number,
  slices: readonly Slice[],
  notchOpens: Vec3,
): RecognisedPart | null {
  const joint = slices.filter((s) => s.at > slices[slices.length - 1]!.at - 0.35 * widthMm)
  const centre = meanCentre(joint)
  const shaft = shaftDirection(bone, cut, widthMm)
  const long = shaft ?? cut.normal
  const front = scale(notchOpens, -1)
  const across = unit(cross(front, long))
  const limb = limbFromLateral(centre, long, across, front)
  const part = meshIntoLimb(bone.mesh, limb)
  const distal = bridgeCondyles(part, 'distal', 0.3 * widthMm, 0)
  if (distal === null) return null
  // The shaft leans laterally off the condyles' tangent by some 9°; the lateral edge of the groove stands prouder.
  const lean = Math.atan2(distal.lateral[1] - distal.medial[1], distal.lateral[2] - distal.medial[2])
  const votes = (lean * 180) / Math.PI / 9 + proudOfGroove(part.positions, widthMm) / 5
  return {
    bone: 'femur',
    limb: votes >= 0 ? limb : limbFromLateral(centre, long, scale(across, -1), front),
    cut,
    widthMm,
    // Neither a shaft nor a straight end says which way is up: what leans is not known.
    sideVotes:
      shaft === null && cut.raggedMm > raggedFromMm ? Math.min(Math.abs(votes), unclearVotes / 2) : Math.abs(votes),
  }
}

function partOfTibia(
  bone: BoneMesh,
  cut: CutFace,
  widthMm: number,
  slices: readonly Slice[],
  depth: number,
): RecognisedPart | null {
  const plateaus = slices.filter((s) => s.at > depth - 0.36 * widthMm && s.at < depth - 0.18 * widthMm)
  const shaft = slices.filter((s) => s.at > 0.03 * widthMm && s.at < 0.15 * widthMm)
  if (plateaus.length === 0 || shaft.length === 0) return null
  const centre = meanCentre(plateaus)
  const long = shaftDirection(bone, cut, widthMm) ?? cut.normal
  const proximal = scale(long, -1)
  const wide = unit(reject(plateaus[Math.floor(plateaus.length / 2)]!.wideAxis, proximal))
  const ahead = cross(proximal, wide)
  // The shaft lies in front of the middle of the plateaus, its front is a keel, and the condyles are hollow behind.
  const limb0 = limbFromLateral(centre, proximal, wide, ahead)
  const setBack = dot(reject(sub(meanCentre(shaft), centre), proximal), limb0.anterior)
  const keel = keelOf(bone, cut, slices, depth, limb0.anterior)
  const hollow = hollowBehind(bone, addScaled(cut.point, cut.normal, 0.3 * widthMm - depth), limb0)
  const front = setBack / 4 + keel / 4 + hollow / 2 >= 0 ? limb0.anterior : scale(limb0.anterior, -1)
  const limb = limbFromLateral(centre, proximal, wide, front)
  const votes = lateralVotes(
    meshIntoLimb(bone.mesh, limb).positions,
    Math.max(intoLimb(limb, cut.point)[1], -ridgeShare * widthMm),
    widthMm,
  )
  return {
    bone: 'tibia',
    limb: votes >= 0 ? limb : limbFromLateral(centre, proximal, scale(wide, -1), front),
    cut,
    widthMm,
    sideVotes: depth < leastShaftShare(cut) * widthMm ? Math.min(Math.abs(votes), unclearVotes / 2) : Math.abs(votes),
  }
}

/**
 * A tibia cut off nearer to the joint than this share of its width shows no shaft whose ridge could tell the side. Three real tibiae,
 * 40…75 mm: every wrong side came from less than 0.68 widths where the end was ragged, and from less than 0.59 where it was flat.
 */
const leastShaftShare = ({ raggedMm }: CutFace): number => (raggedMm > raggedFromMm ? shaftShownShare : 0.59)

/** How much deeper the outline is hollowed from behind than from the front, mm. */
function hollowBehind(bone: BoneMesh, point: Vec3, limb: LimbFrame): number {
  const outline = outlineAcross(bone, point, limb.proximal)
  if (outline === null) return 0
  const forward: Flat = [dot(outline.out([1, 0]), limb.anterior), dot(outline.out([0, 1]), limb.anterior)]
  const behind = deepestPocket(outline.points, [-forward[0], -forward[1]])?.depth ?? 0
  return behind - (deepestPocket(outline.points, forward)?.depth ?? 0)
}

/**
 * How much farther the outlines a tubercle's depth below the joint reach along `ahead` than against it, about their
 * centroids, mean, mm: the tubercle stands in front, the back is hollow.
 */
function keelOf(bone: BoneMesh, cut: CutFace, slices: readonly Slice[], depth: number, ahead: Vec3): number {
  const towardsJoint = scale(cut.normal, -1)
  const stretch = slices.filter((s) => s.at > Math.max(2, depth - 60) && s.at < depth - 18)
  let sum = 0
  const levels = stretch.map((s) => s.at)
  const reaches = reachesAlong(bone.mesh, cut.point, towardsJoint, levels, ahead)
  stretch.forEach((s, k) => {
    const [back, front] = reaches[k]!
    sum += front + back - 2 * dot(sub(s.centroid, cut.point), ahead)
  })
  return stretch.length > 0 ? sum / stretch.length : 0
}

function meanCentre(slices: readonly Slice[]): Vec3 {
  let sum: Vec3 = [0, 0, 0]
  let weight = 0
  for (const s of slices) {
    sum = addScaled(sum, s.centroid, s.outlineMm)
    weight += s.outlineMm
  }
  return scale(sum, 1 / weight)
}

/** Distance from the joint's end of the bone to the cut along the unit `long`, seen from `origin`, mm. */
export const lengthToCut = (cut: CutFace, origin: Vec3, long: Vec3): number => {
  const along = dot(cut.normal, long)
  return Math.abs(along) > 1e-6 ? dot(sub(cut.point, origin), cut.normal) / along : distance(cut.point, origin)
}

/** Below this many votes a declared side is believed rather than the shape. */
const unclearVotes = 0.35

/** Whether the shape of a part hardly tells its side; such a side is stated only when someone declares it, or the partner tells. */
export const hidesSide = (part: RecognisedPart): boolean => part.sideVotes < unclearVotes

/** The directions of a part, turned to the declared side where its shape hardly tells one. */
export function sidedAsDeclared(part: RecognisedPart, declared: Side | null): LimbFrame {
  const { limb } = part
  if (declared === null || !hidesSide(part) || sideOfLimb(limb) === declared) return limb
  return { ...limb, lateral: scale(limb.lateral, -1) }
}
