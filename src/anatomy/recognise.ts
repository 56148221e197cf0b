import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, addScaled, cross, dot, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { fitHeadSphere, type HeadSphere, roughHeadSphere } from './head-sphere.ts'
import { lateralVotes, ridgeShare } from './lateral-votes.ts'
import { type LimbFrame, limbFromLateral, meshIntoLimb, slab } from './limb.ts'
import { reachesAlong, type Slice, slicesAlong, surfaceMoments } from './profile.ts'
import { ramp } from './ramp.ts'
import { sketchOf } from './sketch.ts'

/** A whole bone told from its shape alone: which one, and a first guess of its directions (within some 20°). */
export type Recognised =
  | { readonly bone: 'femur'; readonly limb: LimbFrame; readonly lengthMm: number; readonly head: HeadSphere }
  | { readonly bone: 'tibia'; readonly limb: LimbFrame; readonly lengthMm: number }
  | {
      readonly bone: 'unknown'
      readonly reason: string
      /** Its knee is cut off: it is no part of one either. */
      readonly kneeless?: true
      /** It is as long for its width as a whole bone. */
      readonly long?: true
    }

/**
 * What makes a whole femur or tibia, in shares of its length; wide limits about the adult ranges of check values §10,
 * common practice.
 */
const shape = {
  levels: 60,
  /** Largest half-width of an end over the length. */
  endOverLength: [0.07, 0.16],
  /** Narrowest half-width of the shaft over the larger end. */
  shaftOverEnd: [0.2, 0.65],
  headOverLength: [0.035, 0.08],
  /** Sphere covered by the articular surface; condyles reach 0.26. */
  headCoverage: 0.36,
  /**
   * The same where flat triangles leave the sphere: eight femora in 300 triangles cover 0.27 to 0.54, in 200 from 0.23; the ends of
   * eight tibiae in 500 and fewer 0.21 at most.
   */
  coarseHeadCoverage: 0.24,
  /** Mean edge about the head from which on the second counts more, and alone, mm. */
  coarseHeadEdgesMm: [8, 14],
  /** Larger over smaller end of a tibia. */
  endOverEnd: 1.15,
  /** Smaller end of a tibia over its narrowest shaft; a shaft that is cut off does not widen. */
  ankleOverShaft: 1.25,
} as const

/**
 * Recognises a whole femur or tibia in a surface of any position, order and winding (mm). The femur by the sphere of
 * its head; front and back by where shaft and condyles or tubercle lie; medial by head or malleolus. Both answers are
 * the same for a mirrored surface. All but the head's sphere is told by a `sketch` of the surface. A head that is `known` from
 * elsewhere needs no telling.
 */
export function recogniseWhole(surface: Mesh, sketch: Mesh = sketchOf(surface), known?: HeadSphere): Recognised {
  const mesh = sketch
  const moments = surfaceMoments(mesh)
  if (!(moments.areaMm2 > 0)) return unknown('It has no surface.')
  const axis = moments.axes[0]
  const [low, high] = extent(mesh, moments.centroid, axis)
  const length = high - low
  const levels = Array.from({ length: shape.levels }, (_, i) => low + (length * (i + 0.5)) / shape.levels)
  const slices = slicesAlong(mesh, moments.centroid, axis, levels)
  const upward: View = { mesh, point: moments.centroid, axis, low, high, slices }
  const downward: View = {
    mesh,
    point: moments.centroid,
    axis: scale(axis, -1),
    low: -high,
    high: -low,
    slices: slices.map((s) => ({ ...s, at: -s.at })).reverse(),
  }
  const proportions = judgeProportions(upward)
  if (proportions !== null) return unknown(proportions)
  const up = known ? dot(sub(known.centre, moments.centroid), axis) > (low + high) / 2 : null
  const heads = [upward, downward].map((view) => ({
    view,
    head: known ? ((view === upward) === up ? known : null) : headAtTop(view),
  }))
  heads.sort((a, b) => (b.head?.coverage ?? 0) - (a.head?.coverage ?? 0))
  const best = heads[0]!
  const head =
    best.head !== null && (known || best.head.coverage > leastCoverage(best.view, best.head))
      ? (fitHeadSphere(topOf({ ...best.view, mesh: surface }), best.head) ?? best.head)
      : null
  if (head !== null) return { bone: 'femur', limb: femurDirections(best.view, head), lengthMm: length, head }
  const ratio = endWidth(upward) / endWidth(downward)
  const proximal = ratio > 1 ? upward : downward
  if (Math.max(ratio, 1 / ratio) < shape.endOverEnd)
    return { ...unknown('Its two ends are too alike, and neither has a head.'), long: true }
  const narrowest = Math.min(...part(proximal, 0.3, 0.7).map((s) => Math.sqrt(s.wideMm * s.narrowMm)))
  if (Math.min(endWidth(upward), endWidth(downward)) < shape.ankleOverShaft * narrowest)
    return { ...unknown('One end does not widen into a joint.'), long: true }
  return { bone: 'tibia', limb: tibiaDirections(proximal), lengthMm: length }
}

/** The surface seen along an axis whose top end is taken for the proximal one; positions run from `low` to `high`. */
interface View {
  readonly mesh: Mesh
  readonly point: Vec3
  readonly axis: Vec3
  readonly low: number
  readonly high: number
  readonly slices: readonly Slice[]
}

const unknown = (reason: string) => ({ bone: 'unknown', reason }) as const

function extent(mesh: Mesh, point: Vec3, axis: Vec3): [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  const { positions: p, triangles } = mesh
  for (let k = 0; k < triangles.length; k++) {
    const v = 3 * triangles[k]!
    const t = (p[v]! - point[0]) * axis[0] + (p[v + 1]! - point[1]) * axis[1] + (p[v + 2]! - point[2]) * axis[2]
    if (t < low) low = t
    if (t > high) high = t
  }
  return [low, high]
}

/** Mean half-width of the widest outline in the top fifth. */
const endWidth = (view: View): number => Math.max(...part(view, 0.8, 1).map((s) => Math.sqrt(s.wideMm * s.narrowMm)))

/** Slices between two shares of the length from the distal end. */
function part(view: View, from: number, to: number): readonly Slice[] {
  const length = view.high - view.low
  return view.slices.filter((s) => s.at >= view.low + from * length && s.at <= view.low + to * length)
}

function judgeProportions(view: View): string | null {
  const length = view.high - view.low
  const shaft = part(view, 0.3, 0.7).map((s) => s.wideMm)
  const end = Math.max(...part(view, 0, 0.25).map((s) => s.wideMm), ...part(view, 0.75, 1).map((s) => s.wideMm))
  const within = (value: number, [low, high]: readonly [number, number]) => value >= low && value <= high
  if (!within(end / length, shape.endOverLength)) return 'It is not as long for its width as a whole femur or tibia.'
  if (!within(Math.min(...shaft) / end, shape.shaftOverEnd)) return 'It has no shaft between wider ends.'
  return null
}

/** Mean of the outlines' centroids between two shares of the length. */
function centreOf(view: View, from: number, to: number): Vec3 {
  let sum: Vec3 = [0, 0, 0]
  let weight = 0
  for (const s of part(view, from, to)) {
    sum = addScaled(sum, s.centroid, s.outlineMm)
    weight += s.outlineMm
  }
  return weight > 0 ? scale(sum, 1 / weight) : view.point
}

/** What a head must cover of its sphere to be one, by how coarse the surface is there. */
function leastCoverage(view: View, { coverage }: HeadSphere): number {
  const { headCoverage, coarseHeadCoverage, coarseHeadEdgesMm } = shape
  if (coverage < coarseHeadCoverage || coverage > headCoverage) return headCoverage
  const coarse = ramp(meanEdgeMm(topOf(view)), ...coarseHeadEdgesMm)
  return headCoverage + coarse * (coarseHeadCoverage - headCoverage)
}

const topOf = (view: View): Mesh =>
  slab(view.mesh, view.point, view.axis, view.high - 0.17 * (view.high - view.low), view.high)

/** The sphere of a head at the top end, if there is one. */
function headAtTop(view: View): HeadSphere | null {
  const length = view.high - view.low
  const offset = reject(sub(centreOf(view, 0.88, 1), centreOf(view, 0.62, 0.75)), view.axis)
  if (Math.hypot(...offset) < 1e-6 * length) return null
  const outward = unit(addScaled(scale(unit(offset), 0.8), view.axis, 0.6))
  const top = topOf(view)
  const pole = farthest(top, outward)
  if (pole === null) return null
  const radius = 0.05 * length
  const head = roughHeadSphere(top, { centre: addScaled(pole, outward, -radius), radiusMm: radius })
  if (head === null) return null
  const [low, high] = shape.headOverLength
  return head.radiusMm > low * length && head.radiusMm < high * length ? head : null
}

function farthest(mesh: Mesh, direction: Vec3): Vec3 | null {
  let best = Number.NEGATIVE_INFINITY
  let at = -1
  const p = mesh.positions
  for (let i = 0; i < p.length; i += 3) {
    const t = p[i]! * direction[0] + p[i + 1]! * direction[1] + p[i + 2]! * direction[2]
    if (t > best) {
      best = t
      at = i
    }
  }
  return at < 0 ? null : [p[at]!, p[at + 1]!, p[at + 2]!]
}

/** Direction across the axis in which the outlines between two shares are widest, all of them taken together. */
function widest(view: View, from: number, to: number, axis: Vec3): Vec3 {
  const u = unit(reject(part(view, from, to)[0]?.wideAxis ?? [1, 0, 0], axis))
  const w = cross(axis, u)
  let cos = 0
  let sin = 0
  for (const s of part(view, from, to)) {
    const a = dot(s.wideAxis, u)
    const b = dot(s.wideAxis, w)
    const k = s.outlineMm * (s.wideMm - s.narrowMm)
    cos += k * (a * a - b * b)
    sin += k * 2 * a * b
  }
  const turn = Math.atan2(sin, cos) / 2
  return add(scale(u, Math.cos(turn)), scale(w, Math.sin(turn)))
}

/**
 * The mechanical axis runs from the condyles to the head; the shaft lies lateral of it above, and in front of it all
 * along (bow, and condyles set back).
 */
function femurDirections(view: View, head: HeadSphere): LimbFrame {
  const condyles = centreOf(view, 0.02, 0.09)
  const long = unit(sub(head.centre, condyles))
  const across = widest(view, 0.02, 0.09, long)
  const aside = (p: Vec3): Vec3 => reject(sub(p, condyles), long)
  const lateral = dot(aside(centreOf(view, 0.6, 0.8)), across) >= 0 ? across : scale(across, -1)
  const side = unit(reject(lateral, long))
  const front = cross(long, side)
  const shaft = aside(centreOf(view, 0.15, 0.6))
  return limbFromLateral(condyles, long, side, dot(shaft, front) >= 0 ? front : scale(front, -1))
}

/**
 * The plateaus are widest across and set back on the shaft, the tubercle and the crest lie in front; the medial
 * malleolus is the most distal part and lies medially and in front of the plafond's centre, 13…21 mm on nine tibiae; where the ankle is oblique
 * that shrinks to nothing, and the front of the knee's end votes too.
 */
function tibiaDirections(view: View): LimbFrame {
  const plateaus = centreOf(view, 0.93, 0.97)
  const long = unit(sub(plateaus, centreOf(view, 0.03, 0.08)))
  const across = widest(view, 0.92, 0.97, long)
  const front = cross(long, across)
  const shaft = centreOf(view, 0.45, 0.65)
  const setBack = dot(reject(sub(shaft, plateaus), long), front)
  // Tubercle ahead and hollow behind; weighed double because the set-back shrinks on a shaft that bows backward.
  const tubercle = keel(view, front, 0.84, 0.95)
  const anterior = setBack + 2 * tubercle >= 0 ? front : scale(front, -1)
  const tip = centreOf(view, 0, 0.015)
  const plafond = centreOf(view, 0.05, 0.09)
  const limb = limbFromLateral(plateaus, long, across, anterior)
  const widthMm = Math.max(...part(view, 0.9, 1).map((s) => s.wideMm))
  const ridge = lateralVotes(meshIntoLimb(view.mesh, limb).positions, -ridgeShare * widthMm, widthMm)
  const malleolus = dot(reject(sub(tip, plafond), long), limb.lateral)
  const votes = Math.max(-mostRidge, Math.min(mostRidge, ridge)) - malleolus / malleolusMm
  return votes >= 0 ? limb : { ...limb, lateral: scale(limb.lateral, -1) }
}

/** So far medial of the plafond the malleolus's tip is one vote, mm. */
const malleolusMm = 5
/** The front of the knee's end has no more votes than this: a shaft that leans carries it along. */
const mostRidge = 1.5

/** How much farther the outline reaches along `direction` than against it, mean over a stretch, mm. */
function keel(view: View, direction: Vec3, from: number, to: number): number {
  let sum = 0
  const stretch = part(view, from, to)
  const levels = stretch.map((s) => s.at)
  const reaches = reachesAlong(view.mesh, view.point, view.axis, levels, direction)
  stretch.forEach((s, k) => {
    const [behind, ahead] = reaches[k]!
    const centre = dot(sub(s.centroid, view.point), direction)
    sum += ahead + behind - 2 * centre
  })
  return stretch.length > 0 ? sum / stretch.length : 0
}
