import { fitPlane } from '../geometry/fit.ts'
import { addScaled, dot, scale, toDeg, unit, type Vec3 } from '../geometry/vec.ts'
import type { HeightField } from './height-field.ts'
import type { BearingPatch } from './settled-patch.ts'
import { type Flat, medialThirdOfFront, principalAxes } from './tibial-contours.ts'

/** What the outlines of a tibia's upper end say without spines, notch or any facet's own normal; limb coordinates, mm. */
export interface CoarseTop {
  /** Where the spines stand over the outline: z at its area centroid, x a little behind it. */
  readonly middle: Flat
  readonly widthMm: number
  /** Unit, forward. */
  readonly anterior: Vec3
  /** The medial third of the front, mean of the levels; null where none shows it. */
  readonly medialThird: Flat | null
}

/**
 * Mean edges about the plateaus, mm, from which on eminence, notch and facets are left to chance more and more: at the first they
 * alone count, from the second on no more than the outlines do. (Three real and five made tibiae in 200 to 6,000 triangles: by notch and
 * tubercle forward stays within 3.5° at 13 mm and is up to 13° off at 20 mm; by the outlines it is up to 6° off whatever the mesh,
 * for bones differ.)
 */
export const coarseEdgesMm = [12, 18] as const
/** Share of the outlines where triangles are as long as the second. */
export const mostByOutlines = 0.5

/** The ridge of the shaft below the plateaus looks this far lateral of X, deg: mean of four real tibiae, 13…22. */
const ridgeLateralDeg = 16
/** The spines stand this share of the width behind the centroid of the outline (the same four, 0.07…0.11). */
const spinesBehind = 0.08
/** The outermost stretch of an outline makes its ridge, mm. */
const ridgeMm = 5

/**
 * Middle and front of a coarse tibia: `condyles` is the outline below the plateaus, `fronts` those at the levels of the
 * tubercle. The direction from the centroid of the condyles to the ridge of the outlines, averaged over the levels, is
 * turned medially by what real tibiae show between it and X. Areas and means, so that single corners do not decide, and
 * distances from the centroid, so that a flat front names its middle whatever the frame.
 */
export function coarseTop(condyles: readonly Flat[], fronts: readonly (readonly Flat[])[]): CoarseTop {
  const { centroid } = principalAxes(condyles)
  const across = condyles.map((p) => p[1])
  const widthMm = Math.max(...across) - Math.min(...across)
  let x = 0
  let z = 0
  const thirds: Flat[] = []
  for (const loop of fronts) {
    const [ridgeX, ridgeZ] = middleOfRidge(loop, centroid)
    const third = medialThirdOfFront(loop, [ridgeX, ridgeZ])
    if (third) thirds.push(third)
    const away = Math.hypot(ridgeX - centroid[0], ridgeZ - centroid[1])
    if (away < 1) continue
    x += (ridgeX - centroid[0]) / away
    z += (ridgeZ - centroid[1]) / away
  }
  const turn = Math.atan2(z, x) - (ridgeLateralDeg * Math.PI) / 180
  const anterior = unit([Math.cos(turn), 0, Math.sin(turn)])
  const behind = spinesBehind * widthMm
  return {
    middle: [centroid[0] - behind * anterior[0], centroid[1] - behind * anterior[2]],
    widthMm,
    anterior,
    medialThird: thirds.length > 0 ? [meanOf(thirds, 0), meanOf(thirds, 1)] : null,
  }
}

/** Notch and tubercle that contradict the outlines by as much were misled by single corners: bones differ by less, deg. */
const contradictionDeg = 20

/**
 * Forward of a tibia that is coarse by so much (0…1), unit: by notch and tubercle, and a share by the outlines; the more both contradict each
 * other, the nearer to the outlines, on which no single corner decides (biweight; Beaton & Tukey, Technometrics 1974).
 */
export function forwardOfBoth(byNotch: Vec3, byOutlines: Vec3, coarse: number): Vec3 {
  const apart = toDeg(Math.acos(Math.max(-1, Math.min(1, dot(byNotch, byOutlines))))) / contradictionDeg
  const agree = (1 - Math.min(1, apart) ** 2) ** 2
  const own = (1 - mostByOutlines * coarse) * (1 - coarse * (1 - agree))
  return unit(addScaled(scale(byNotch, own), byOutlines, 1 - own))
}

const meanOf = (points: readonly Flat[], k: 0 | 1): number => points.reduce((sum, p) => sum + p[k], 0) / points.length

/** Mean of the part of a contour, within 60° of X, that lies within 5 mm of the farthest from `centre`, the farther the more. */
export function middleOfRidge(loop: readonly Flat[], centre: Flat): Flat {
  const ahead: { readonly p: Flat; readonly away: number; readonly lengthMm: number }[] = []
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    const edge = Math.hypot(q[0] - p[0], q[1] - p[1])
    const pieces = Math.max(1, Math.ceil(edge))
    for (let k = 0; k < pieces; k++) {
      const t = (k + 0.5) / pieces
      const at: Flat = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
      const away = Math.hypot(at[0] - centre[0], at[1] - centre[1])
      if (at[0] - centre[0] > away / 2) ahead.push({ p: at, away, lengthMm: edge / pieces })
    }
  }
  const farthest = Math.max(...ahead.map(({ away }) => away))
  let x = 0
  let z = 0
  let weight = 0
  for (const { p, away, lengthMm } of ahead) {
    const w = lengthMm * Math.max(0, away - farthest + ridgeMm)
    x += w * p[0]
    z += w * p[1]
    weight += w
  }
  return weight > 0 ? [x / weight, z / weight] : centre
}

/** Where the plateau points of the four lie, in widths from the spines' middle: lateral, and forward. */
const plateauAcross = { medial: -0.28, lateral: 0.265 } as const
const plateauAhead = { medial: -0.025, lateral: 0.145 } as const
/** Radius of the disc that stands for a plateau, in widths. */
const discShare = 0.18

/** Share of the disc where triangles are as long as the second of `coarseEdgesMm`: with it MPTA of the eight tibiae errs least. */
const mostByDisc = 0.65

/** A patch on a tibia coarse by so much (0…1), brought towards its disc; the disc where there is no patch. */
export function besideDisc(patch: BearingPatch | null, disc: BearingPatch | null, coarse: number): BearingPatch | null {
  if (patch === null || disc === null) return patch ?? disc
  const share = mostByDisc * coarse
  return {
    ...patch,
    point: addScaled(scale(patch.point, 1 - share), disc.point, share),
    normal: unit(addScaled(scale(patch.normal, 1 - share), disc.normal, share)),
  }
}

/**
 * A plateau of a coarse tibia whose facets all lean too much to be a bearing patch: the mean height seen within a disc
 * where plateaus lie. The normal is a stand-in without slope, so that no levelling by a single facet enters MPTA; on the
 * four real tibiae, whole and decimated to 200 triangles, MPTA by the two discs stays within 2.5° of MPTA by the patches.
 * Null where nothing is seen.
 */
export function coarsePlateau(field: HeightField, top: CoarseTop, which: 'medial' | 'lateral'): BearingPatch | null {
  const { middle, widthMm, anterior: a } = top
  const ahead = plateauAhead[which] * widthMm
  const across = plateauAcross[which] * widthMm
  // Lateral is the forward direction turned by a quarter.
  const x = middle[0] + ahead * a[0] - across * a[2]
  const z = middle[1] + ahead * a[2] + across * a[0]
  const radius = discShare * widthMm
  const points: Vec3[] = []
  for (let at = 0; at < field.height.length; at++) {
    const p: Vec3 = [
      field.lowX + (at % field.nx) * field.stepMm,
      field.height[at]!,
      field.lowZ + Math.floor(at / field.nx) * field.stepMm,
    ]
    if (!Number.isNaN(p[1]) && Math.hypot(p[0] - x, p[2] - z) <= radius) points.push(p)
  }
  const plane = fitPlane(points)
  if (!plane.ok || Math.abs(plane.value.normal[1]) < 0.5) return null
  const { point: c, normal: n, rmsMm } = plane.value
  const point: Vec3 = [x, c[1] - ((x - c[0]) * n[0] + (z - c[2]) * n[2]) / n[1], z]
  const areaMm2 = (points.length * field.stepMm ** 2) / Math.abs(n[1])
  return { point, normal: [0, 1, 0], areaMm2, rmsMm, deepest: point }
}
