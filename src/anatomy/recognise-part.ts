import type { BoneMesh } from '../geometry/bone.ts'
import { section } from '../geometry/section.ts'
import { addScaled, cross, distance, dot, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { bridgeCondyles } from './bridge.ts'
import { type CutFace, cutFace } from './cut-face.ts'
import { intoLimb, type LimbFrame, limbFromLateral, meshIntoLimb, sideOfLimb } from './limb.ts'
import { reachesAlong, type Slice, slicesAlong } from './profile.ts'
import { shaftAxis } from './shaft-axis.ts'
import type { Side } from './terms.ts'
import { convexHull, type Flat } from './tibial-contours.ts'

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
 * Recognises the knee end of a femur or tibia that is cut off in the shaft (mm, patient frame): the cut face tells the
 * long direction, the notch between the condyles tells femur from tibia and front from back, and medial from lateral
 * follow votes of several features. `surface` is the bone before its holes were bridged. Null when there is no cut face or the end shows neither.
 */
export function recognisePart(bone: BoneMesh, surface: BoneMesh): RecognisedPart | null {
  const end = cutFace(bone.mesh, surface)
  if (end === null) return null
  const cut = straightened(bone, end)
  const towardsJoint = scale(cut.normal, -1)
  const depth = reach(bone, cut.point, towardsJoint)
  const levels = Array.from({ length: 40 }, (_, i) => (depth * (i + 0.5)) / 40)
  const slices = slicesAlong(bone.mesh, cut.point, towardsJoint, levels)
  const widthMm = 2.4 * Math.max(...slices.map((s) => s.wideMm))
  if (!(widthMm > 56 && widthMm < 130 && depth > 0.4 * widthMm)) return null
  // A fifth of the width in from the joint lies in the notch of a femur and in the full condyles of a tibia.
  const outline = outlineAcross(bone, addScaled(cut.point, towardsJoint, depth - 0.2 * widthMm), cut.normal)
  if (outline === null) return null
  const pocket = deepestPocket(outline.points, null)
  if (pocket === null) return null
  const notched = pocket.depth > 0.14 * widthMm
  return notched
    ? partOfFemur(bone, cut, widthMm, slices, unit(outline.out(pocket.direction)))
    : partOfTibia(bone, cut, widthMm, slices, depth)
}

/** A ragged end tells its direction poorly: the shaft next to it tells it better, where there is enough of it. */
function straightened(bone: BoneMesh, end: CutFace): CutFace {
  if (end.raggedMm <= raggedFromMm) return end
  let cut = end
  for (let round = 0; round < 3; round++) {
    const widthMm = 2.4 * Math.max(...sliceWidths(bone, cut))
    // Nearer to the joint the flare of the condyles would be taken for the shaft.
    if (reach(bone, cut.point, scale(cut.normal, -1)) < shaftShownShare * widthMm) return end
    const normal = shaftDirection(bone, cut, widthMm, 3)
    if (normal === null || dot(normal, end.normal) < 0.85) break
    cut = { ...cut, normal }
  }
  return cut
}

/** A part this long in widths shows some shaft beside its joint end. */
const shaftShownShare = 0.7

/** From this standard deviation on an end is ragged, mm. */
const raggedFromMm = 0.3

function sliceWidths(bone: BoneMesh, cut: CutFace): readonly number[] {
  const towardsJoint = scale(cut.normal, -1)
  const depth = reach(bone, cut.point, towardsJoint)
  const levels = Array.from({ length: 20 }, (_, i) => (depth * (i + 0.5)) / 20)
  return slicesAlong(bone.mesh, cut.point, towardsJoint, levels).map((s) => s.wideMm)
}

function reach(bone: BoneMesh, point: Vec3, direction: Vec3): number {
  let most = 0
  const p = bone.mesh.positions
  for (const v of bone.mesh.triangles)
    most = Math.max(
      most,
      (p[3 * v]! - point[0]) * direction[0] +
        (p[3 * v + 1]! - point[1]) * direction[1] +
        (p[3 * v + 2]! - point[2]) * direction[2],
    )
  return most
}

interface Outline {
  readonly points: readonly (readonly Flat[])[]
  readonly out: (direction: Flat) => Vec3
}

function outlineAcross(bone: BoneMesh, point: Vec3, normal: Vec3): Outline | null {
  const { loops } = section(bone.tree, { point, normal })
  if (loops.length === 0) return null
  const u = unit(reject(Math.abs(normal[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0], normal))
  const w = cross(normal, u)
  return {
    points: loops.map((loop) => loop.map((p): Flat => [dot(sub(p, point), u), dot(sub(p, point), w)])),
    out: ([a, b]) => addScaled(scale(u, a), w, b),
  }
}

/**
 * The deepest place of an outline inside its convex hull: how deep, and the outward direction of its mouth; of those that
 * open within 45° of `towards` when that is given.
 */
function deepestPocket(
  loops: readonly (readonly Flat[])[],
  towards: Flat | null,
): { readonly depth: number; readonly direction: Flat } | null {
  const all = loops.flatMap(everyMillimetre)
  const hull = convexHull(all)
  let best: { depth: number; direction: Flat } | null = null
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!
    const b = hull[(i + 1) % hull.length]!
    const width = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (width < 8) continue
    const along: Flat = [(b[0] - a[0]) / width, (b[1] - a[1]) / width]
    const out: Flat = [along[1], -along[0]]
    if (towards !== null && out[0] * towards[0] + out[1] * towards[1] < 0.7) continue
    // The nearest contour point behind each part of the edge; the deepest of these is the pocket's floor.
    const floor = new Float64Array(Math.floor(width / 2.5)).fill(Number.POSITIVE_INFINITY)
    for (const p of all) {
      const t = ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / width
      if (t < 0 || t >= 1) continue
      const bin = Math.floor(t * floor.length)
      floor[bin] = Math.min(floor[bin]!, -((p[0] - a[0]) * out[0] + (p[1] - a[1]) * out[1]))
    }
    const depth = Math.max(...floor.filter((d) => Number.isFinite(d)), 0)
    if (best === null || depth > best.depth) best = { depth, direction: out }
  }
  return best
}

function everyMillimetre(loop: readonly Flat[]): Flat[] {
  return loop.flatMap((p, i) => {
    const q = loop[(i + 1) % loop.length]!
    const pieces = Math.max(1, Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1])))
    return Array.from(
      { length: pieces },
      (_, k): Flat => [p[0] + (k / pieces) * (q[0] - p[0]), p[1] + (k / pieces) * (q[1] - p[1])],
    )
  })
}

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
  const groove = edgeOfGroove(part.positions, 1, widthMm) - edgeOfGroove(part.positions, -1, widthMm)
  const votes = (lean * 180) / Math.PI / 9 + groove / 5
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

/** How far forward the surface reaches on one side of the middle, below the level of the epicondyles, mm. */
function edgeOfGroove(p: Float64Array, side: 1 | -1, widthMm: number): number {
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < p.length; i += 3) {
    const z = side * p[i + 2]!
    if (z > 0.05 * widthMm && z < 0.4 * widthMm && p[i + 1]! < 0.35 * widthMm && p[i]! > most) most = p[i]!
  }
  return most
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
  const votes = lateralVotes(meshIntoLimb(bone.mesh, limb).positions, intoLimb(limb, cut.point)[1], widthMm)
  return {
    bone: 'tibia',
    limb: votes >= 0 ? limb : limbFromLateral(centre, proximal, scale(wide, -1), front),
    cut,
    widthMm,
    sideVotes: depth < leastShaftShare(cut) * widthMm ? Math.min(Math.abs(votes), unclearVotes / 2) : Math.abs(votes),
  }
}

/**
 * A tibia cut off nearer to the joint than this share of its width shows no shaft whose ridge could tell the side. Where the end is
 * ragged (three real tibiae, 45…75 mm, straight and oblique) every wrong side came from less than 0.68 widths.
 */
const leastShaftShare = ({ raggedMm }: CutFace): number => (raggedMm > raggedFromMm ? shaftShownShare : 0.56)

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

/** The medial condyle is the deeper one from front to back; the front of the shaft lies lateral of the middle. */
function lateralVotes(p: Float64Array, cutLevel: number, widthMm: number): number {
  const depthOn = (side: 1 | -1) => {
    let front = Number.NEGATIVE_INFINITY
    let back = Number.POSITIVE_INFINITY
    for (let i = 0; i < p.length; i += 3) {
      const z = side * p[i + 2]!
      if (z < 0.14 * widthMm || z > 0.4 * widthMm || p[i + 1]! < -0.12 * widthMm) continue
      front = Math.max(front, p[i]!)
      back = Math.min(back, p[i]!)
    }
    return front - back
  }
  let ridge = 0
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < p.length; i += 3)
    if (p[i + 1]! < cutLevel + 0.3 * widthMm && p[i]! > most) {
      most = p[i]!
      ridge = p[i + 2]!
    }
  return (depthOn(-1) - depthOn(1)) / 10 + ridge / 4
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

/** Unit direction from joint to shaft by the sections next to the cut; null when there is too little shaft. */
function shaftDirection(bone: BoneMesh, cut: CutFace, widthMm: number, mostRmsMm = 2): Vec3 | null {
  const [from, to] = [-0.32 * widthMm - cut.raggedMm, -0.03 * widthMm - cut.raggedMm]
  const axis = shaftAxis(bone, cut.point, cut.normal, from, to)
  if (axis === null || axis.rmsMm > mostRmsMm) return null
  return dot(axis.direction, cut.normal) > 0.9 ? axis.direction : null
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
