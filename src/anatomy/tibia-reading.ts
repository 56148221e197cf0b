import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import { addScaled, cross, distance, midpoint, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { coarseness } from './calm-surface.ts'
import {
  besideDisc,
  type CoarseTop,
  coarsePlateau,
  coarseTop,
  forwardOfBoth,
  middleOfRidge,
  mostByOutlines,
} from './coarse-tibia.ts'
import { extentsAbove } from './extents-above.ts'
import { type HeightField, heightAt, heightField } from './height-field.ts'
import { intoLimb, type LimbFrame, meshIntoLimb } from './limb.ts'
import { contourIn } from './limb-contour.ts'
import { type ReadingEffort, readAnkle } from './read-ankle.ts'
import { condylesDepthMm, type Plateaus, readPlateaus } from './read-plateaus.ts'
import type { BearingPatch } from './settled-patch.ts'
import { findSpines, type Spines } from './spines.ts'
import type { LandmarkId, LandmarkOverrides } from './terms.ts'
import { convexHull, type Flat, medialThirdOfFront, posteriorNotch, pointBehind as rearOf } from './tibial-contours.ts'
import { findTubercle } from './tubercle.ts'

/** What a tibia shows in one frame; limb coordinates, mm. */
export interface TibiaReading {
  readonly spines: Spines
  readonly medial: BearingPatch
  readonly lateral: BearingPatch
  /** Null when the scan ended above the ankle. */
  readonly plafond: BearingPatch | null
  readonly malleolus: Vec3 | null
  readonly posteriorNotch: Vec3
  readonly tubercle: Vec3
  readonly medialThird: Vec3
  /** Unit, laterally, along the back of the section below the plateaus. */
  readonly posteriorTangent: Vec3
  /** Both plateau points lean, wholly or by the greater part, on where plateaus lie within the outline. */
  readonly plateausByOutline: boolean
  /** Mean edge of the triangles about the plateaus, mm. */
  readonly edgeMm: number
  /** Unit, forward by notch, tubercle and outlines, where the triangles are coarse for the first two; else null. */
  readonly coarseAnterior: Vec3 | null
}

/** The two ends of a tibia, patient frame; no distal end on a truncated scan. */
export interface TibiaEnds {
  readonly proximal: Mesh
  readonly distal: Mesh | null
  /** Length from knee to ankle where neither plafond nor a given ankle tells it, mm. */
  readonly assumedLengthMm: number
  /** Where the scan ended in the shaft, and how; null on a whole bone. */
  readonly cut: Plane | null
  /** How much the mean edge about the plateaus leaves eminence and notch to chance, 0…1 (`coarseEdgesMm`). */
  readonly coarse: number
}

/** How far below the plateau points the notch behind the eminence is looked for, mm. */
const notchDepthMm = 3

/**
 * Reads spines, patches, contours and plafond of a tibia in one frame. Landmarks set by hand take the place of found
 * ones wherever a later step stands on them. `condylesLevelMm` is the height of the outline that holds the plateaus, if a
 * reading before this one told it. Null when one of them cannot be found.
 */
export function readTibia(
  bone: BoneMesh,
  ends: TibiaEnds,
  limb: LimbFrame,
  overrides: LandmarkOverrides,
  effort: ReadingEffort,
  condylesLevelMm: number | null = null,
): TibiaReading | null {
  const top = meshIntoLimb(ends.proximal, limb)
  const crown = extentsAbove(top, -25)
  if (crown === null) return null
  const { stepMm, rounds, grain } = effort
  const seen = heightField(
    top,
    'above',
    { ...crown, y: [crown.y[1] - 35, crown.y[1]] },
    stepMm,
    grain.slopeMm + coarseness(crown.edgeMm),
  )
  if (seen === null) return null
  const outlines = ends.coarse > 0 ? coarseOutlines(bone, limb, ends, crown.y[1]) : null
  const byOutlines = mostByOutlines * ends.coarse
  const middleOf = (top: CoarseTop | null) => top && overMiddle(seen, top, crown.y[1])
  const middle = (tip: Vec3) => {
    const own = coarseOutlines(bone, limb, ends, crown.y[1])
    return own && acrossMiddle(seen, own, tip)
  }
  const coarseMiddle = middleOf(outlines)
  const standing = findSpines(top, seen, third(crown.z, 1 / 6), third(crown.x, 1 / 3), middle, grain.tipMm)
  if (standing === null) return null
  const spines = outlines && coarseMiddle ? towardsOutline(standing, coarseMiddle, outlines, byOutlines) : standing
  const height = { levelMm: condylesLevelMm, spinesMm: midpoint(spines.medial, spines.lateral)[1] }
  const look = { coarse: ends.coarse, dropMm: grain.dropMm, rounds }
  const patches = readPlateaus(bone, limb, seen, height, look)
  const standIns = outlines && !standApart(patches, outlines.widthMm) ? outlines : null
  const plateau = (side: 'medial' | 'lateral') =>
    outlines
      ? besideDisc(standIns ? null : patches[side], coarsePlateau(seen, outlines, side), ends.coarse)
      : patches[side]
  const medial = plateau('medial')
  const lateral = plateau('lateral')
  const knee = midpoint(spines.medial, spines.lateral)
  const ankle = ends.distal === null ? null : readAnkle(meshIntoLimb(ends.distal, limb), knee[1], effort)
  if (medial === null || lateral === null || (ends.distal !== null && ankle === null)) return null

  const own = (id: LandmarkId, found: Vec3): Vec3 => (overrides[id] ? intoLimb(limb, overrides[id].mm) : found)
  const medialPoint = own('plateauMedial', medial.point)
  const lateralPoint = own('plateauLateral', lateral.point)
  const joint = planeBelow({ ...medial, point: medialPoint }, { ...lateral, point: lateralPoint })
  const condylesLevel = Math.min(medialPoint[1], lateralPoint[1]) - condylesDepthMm
  const behind = contourIn(bone, limb, joint)
  const condyles = contourIn(bone, limb, { point: [0, condylesLevel, 0], normal: [0, 1, 0] })
  const notch = behind && condyles ? posteriorNotch(behind, condyles) : null
  const foot = own('ankleCentre', ankle?.plafond.point ?? [0, knee[1] - ends.assumedLengthMm, 0])
  const length = distance(own('tibialKneeCentre', knee), foot)
  const lowest = ends.cut === null ? Number.NEGATIVE_INFINITY : intoLimb(limb, ends.cut.point)[1] + cutMarginMm
  const low = Math.max(knee[1] - 0.16 * length, lowest)
  // On a short scan the tubercle may be half cut off, and the rim of the plateau must not take its place.
  const high = Math.max(knee[1] - (ends.cut === null ? 0.06 : 0.09) * length, low + 5)
  const foremost = findTubercle(top, low, high) ?? knee
  const atTubercle = contourIn(bone, limb, { point: [0, foremost[1] - besideMm, 0], normal: [0, 1, 0] })
  const flat = outlines && atTubercle ? middleOfRidge(atTubercle, outlines.middle) : null
  const ridge: Vec3 = flat ? [flat[0], foremost[1], flat[1]] : foremost
  const tubercle = own('tubercle', mixed(foremost, ridge, ends.coarse))
  const front = contourIn(bone, limb, { point: [0, tubercle[1] - besideMm, 0], normal: [0, 1, 0] })
  const medialThird = front ? medialThirdOfFront(front, [tubercle[0], tubercle[2]]) : null
  if (behind === null || notch === null || medialThird === null) return null
  const mean = outlines?.medialThird ?? medialThird
  const forward = unit([
    (1 - ends.coarse) * medialThird[0] + ends.coarse * mean[0] - notch[0],
    0,
    (1 - ends.coarse) * medialThird[1] + ends.coarse * mean[1] - notch[1],
  ])
  const straightBehind = outlines ? rearOf(behind, medialThird[1]) : null
  return {
    spines,
    medial,
    lateral,
    plafond: ankle?.plafond ?? null,
    malleolus: ankle?.malleolus ?? null,
    posteriorNotch: onPlane(joint, straightBehind ?? notch),
    tubercle,
    medialThird: [medialThird[0], tubercle[1], medialThird[1]],
    posteriorTangent: posteriorTangent(behind),
    plateausByOutline: standIns !== null || ends.coarse > 0.5,
    edgeMm: crown.edgeMm,
    coarseAnterior: outlines && forwardOfBoth(forward, outlines.anterior, ends.coarse),
  }
}

/** Real plateaus lie 0.46…0.50 widths apart. */
const leastApartShare = 0.42

/** Whether the two patches lie as far apart as plateaus of a bone of this width do. */
function standApart({ medial, lateral }: Plateaus, widthMm: number): boolean {
  return medial !== null && lateral !== null && lateral.point[2] - medial.point[2] > leastApartShare * widthMm
}

/** Where the outlines are taken, in lengths below the top: the condyles, and the levels of the tubercle. */
const condylesShare = 0.045
const frontShares = [0.1, 0.11, 0.12, 0.13, 0.14, 0.15, 0.16] as const

function coarseOutlines(bone: BoneMesh, limb: LimbFrame, ends: TibiaEnds, top: number): CoarseTop | null {
  const at = (share: number) =>
    contourIn(bone, limb, { point: [0, top - share * ends.assumedLengthMm, 0], normal: [0, 1, 0] })
  const condyles = at(condylesShare)
  const fronts = frontShares.map(at).filter((loop) => loop !== null)
  return condyles && fronts.length > 0 ? coarseTop(condyles, fronts) : null
}

/** The middle between the spines of a coarse bone: over the outline's middle, as high as the surface there. */
function overMiddle(field: HeightField, { middle, widthMm }: CoarseTop, top: number): Vec3 {
  return [middle[0], heightAt(field, middle[0], middle[1], 0.12 * widthMm) ?? top, middle[1]]
}

/**
 * The middle between the spines where one of them stands out alone: across it is the outline's, front to back that of the tip, and it lies
 * halfway up from the place that mirrors the tip.
 */
function acrossMiddle(field: HeightField, { middle }: CoarseTop, tip: Vec3): Vec3 {
  const other = heightAt(field, tip[0], 2 * middle[1] - tip[2], mirroredMm) ?? tip[1]
  return [tip[0], (tip[1] + Math.min(other, tip[1])) / 2, middle[1]]
}
const mirroredMm = 4

/** Spines that stand on coarse triangles, a share of the way to where they stand over the outline. */
function towardsOutline({ medial, lateral }: Spines, middle: Vec3, { widthMm }: CoarseTop, share: number): Spines {
  const tip = (side: 1 | -1): Vec3 => addScaled(middle, [0, 0, side], 0.08 * widthMm)
  return { medial: mixed(medial, tip(-1), share), lateral: mixed(lateral, tip(1), share), count: 1 }
}

const mixed = (a: Vec3, b: Vec3, share: number): Vec3 => addScaled(scale(a, 1 - share), b, share)

/** A section at a vertex runs this far beside it, mm: rounding must not choose the side. */
const besideMm = 1e-6
/** A cut face is kept out of what is read near it, mm. */
const cutMarginMm = 4

/** The middle of a range, `share` of its width to either side. */
function third([low, high]: readonly [number, number], share: number): readonly [number, number] {
  return [(low + high) / 2 - share * (high - low), (low + high) / 2 + share * (high - low)]
}

/** The plane through both plateau points along their mean slope, lowered. */
function planeBelow(medial: BearingPatch, lateral: BearingPatch): Plane {
  const trace = (patch: BearingPatch) => -patch.normal[0] / patch.normal[1]
  const slope = (trace(medial) + trace(lateral)) / 2
  const normal = unit(cross(sub(lateral.point, medial.point), [1, slope, 0]))
  const upward = normal[1] >= 0 ? normal : scale(normal, -1)
  return { point: addScaled(midpoint(medial.point, lateral.point), upward, -notchDepthMm), normal: upward }
}

/** The point of a plane over (x, z). */
function onPlane({ point, normal }: Plane, [x, z]: Flat): Vec3 {
  return [x, point[1] - ((x - point[0]) * normal[0] + (z - point[2]) * normal[2]) / normal[1], z]
}

/** Direction, laterally, of the hull edge behind the middle of a section. */
function posteriorTangent(loop: readonly Flat[]): Vec3 {
  const hull = convexHull(loop)
  const across = hull.map((p) => p[1])
  const middle = (Math.min(...across) + Math.max(...across)) / 2
  let best: Vec3 = [0, 0, 1]
  let behind = Number.POSITIVE_INFINITY
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!
    const b = hull[(i + 1) % hull.length]!
    if (a[1] > middle === b[1] > middle) continue
    const x = a[0] + ((middle - a[1]) / (b[1] - a[1])) * (b[0] - a[0])
    if (x >= behind) continue
    behind = x
    const sense = a[1] < b[1] ? 1 : -1
    best = unit([sense * (b[0] - a[0]), 0, sense * (b[1] - a[1])])
  }
  return best
}
