import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Plane } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { add, addScaled, cross, distance, midpoint, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { type BearingPatch, bearingPatch } from './bearing-patch.ts'
import { type HeightField, heightField } from './height-field.ts'
import { foundLandmark, orOverride } from './landmark.ts'
import {
  directionOutOfLimb,
  frameOfLimb,
  intoLimb,
  type LimbFrame,
  limbFromAnterior,
  meshIntoLimb,
  outOfLimb,
  sideOfLimb,
  slab,
} from './limb.ts'
import { recogniseWhole } from './recognise.ts'
import { shaftAxis } from './shaft-axis.ts'
import { findSpines, type Spines } from './spines.ts'
import type {
  FemurAnatomy,
  Landmark,
  LandmarkId,
  LandmarkOverrides,
  PlateauPatch,
  References,
  Side,
  TibiaAnatomy,
} from './terms.ts'
import { convexHull, type Flat, largestLoop, medialThirdOfFront, posteriorNotch } from './tibial-contours.ts'

export interface TibiaChoices {
  readonly references: References
  readonly overrides?: LandmarkOverrides
  /** Declared side; used only where shape cannot tell. */
  readonly side?: Side
  /** Needed when the femoral reference is carried over to the tibia's front. */
  readonly femur?: FemurAnatomy
}

const stepMm = 0.5
const smoothMm = 1

/**
 * Finds everything on one tibia from its shape alone: plateau patches, spines, posterior notch, tubercle, plafond,
 * malleolus, shaft and frame (definitions in DEVELOPERS.md), iterated until the frame stays. Landmarks set by hand
 * replace the found ones and the frame follows. A surface that is no whole tibia: `anatomy/not-a-tibia`.
 */
export function findTibia(bone: BoneMesh, choices: TibiaChoices): Result<TibiaAnatomy> {
  const seen = recogniseWhole(bone.mesh)
  if (seen.bone !== 'tibia')
    return fail(
      'anatomy/not-a-tibia',
      seen.bone === 'femur' ? 'This bone is a femur.' : `This is not a whole tibia. ${seen.reason}`,
      {
        hint: 'Check which file was given as the tibia.',
      },
    )
  const { references } = choices
  if (references.ankleCentre === 'malleoli' && !choices.overrides?.malleolusLateral)
    return fail('landmark/missing', 'The midpoint of the malleoli needs the tip of the lateral malleolus.', {
      hint: 'Give the fibula, set the lateral malleolus by hand, or use the plafond.',
      place: 'references.ankleCentre',
    })
  if (references.tibialAnterior === 'femoral' && !choices.femur)
    return fail('landmark/missing', 'The femoral reference needs the femur in the same frame.', {
      place: 'references.tibialAnterior',
    })
  const settled = settleFrame(bone, seen.limb, seen.lengthMm, choices)
  if (settled === null)
    return fail('anatomy/not-a-tibia', 'The plateaus, spines or plafond of this tibia could not be found.', {
      hint: 'Set the knee centre, the ankle centre and the plateau points by hand.',
    })
  return assemble(bone, settled, choices)
}

/** What one frame shows; limb coordinates, mm. */
interface Reading {
  readonly spines: Spines
  readonly medial: BearingPatch
  readonly lateral: BearingPatch
  readonly plafond: BearingPatch
  readonly malleolus: Vec3
  readonly posteriorNotch: Vec3
  readonly tubercle: Vec3
  readonly medialThird: Vec3
  readonly posteriorTangent: Vec3
}

interface Settled {
  readonly limb: LimbFrame
  readonly reading: Reading
}

interface Ends {
  readonly proximal: Mesh
  readonly distal: Mesh
}

function settleFrame(bone: BoneMesh, start: LimbFrame, lengthMm: number, choices: TibiaChoices): Settled | null {
  const ends: Ends = {
    proximal: slab(bone.mesh, start.origin, start.proximal, -0.22 * lengthMm, 0.2 * lengthMm),
    distal: slab(bone.mesh, start.origin, start.proximal, -1.2 * lengthMm, -0.8 * lengthMm),
  }
  let limb = start
  let reading: Reading | null = null
  for (let round = 0; round < 60; round++) {
    reading = read(bone, ends, limb, choices.overrides ?? {})
    if (reading === null) return null
    const next = frameFrom(limb, reading, choices)
    const moved =
      distance(next.origin, limb.origin) +
      100 * (distance(next.proximal, limb.proximal) + distance(next.anterior, limb.anterior))
    // Two readings can alternate for ever; half steps end on the frame between them.
    limb = round < 30 ? next : between(limb, next)
    if (moved < 1e-9) break
  }
  return reading === null ? null : { limb, reading }
}

function between(a: LimbFrame, b: LimbFrame): LimbFrame {
  return limbFromAnterior(
    midpoint(a.origin, b.origin),
    add(a.proximal, b.proximal),
    add(a.anterior, b.anterior),
    add(a.lateral, b.lateral),
  )
}

function read(bone: BoneMesh, ends: Ends, limb: LimbFrame, overrides: LandmarkOverrides): Reading | null {
  const top = meshIntoLimb(ends.proximal, limb)
  const bottom = meshIntoLimb(ends.distal, limb)
  const crown = extents(top, -25)
  const foot = extents(bottom, Number.NEGATIVE_INFINITY)
  if (crown === null || foot === null) return null
  const plateau = heightField(
    top,
    'above',
    { x: [crown.x[0], crown.x[1]], z: [crown.z[0], crown.z[1]], y: [crown.y[1] - 35, crown.y[1]] },
    stepMm,
    smoothMm,
  )
  const middle = (crown.z[0] + crown.z[1]) / 2
  const sixth = (crown.z[1] - crown.z[0]) / 6
  const centre = (crown.x[0] + crown.x[1]) / 2
  const third = (crown.x[1] - crown.x[0]) / 3
  const spines = findSpines(top, plateau, [middle - sixth, middle + sixth], [centre - third, centre + third])
  if (spines === null) return null
  const medial = bearingPatch(plateau, [crown.z[0], spines.medial[2]])
  const lateral = bearingPatch(plateau, [spines.lateral[2], crown.z[1]])
  if (medial === null || lateral === null) return null
  const plafond = plafondOf(bottom, foot, Math.abs(foot.y[0] - spines.medial[1]))
  if (plafond === null) return null

  const own = (id: LandmarkId, found: Vec3): Vec3 => (overrides[id] ? intoLimb(limb, overrides[id].mm) : found)
  const knee = midpoint(spines.medial, spines.lateral)
  const length = distance(own('tibialKneeCentre', knee), own('ankleCentre', plafond.point))
  const joint = planeBelowPlateaus(
    withPoint(medial, own('plateauMedial', medial.point)),
    withPoint(lateral, own('plateauLateral', lateral.point)),
  )
  const behind = contourIn(bone, limb, joint)
  const lower = Math.min(own('plateauMedial', medial.point)[1], own('plateauLateral', lateral.point)[1])
  const condyles = contourIn(bone, limb, { point: [0, lower - condylesDepthMm, 0], normal: [0, 1, 0] })
  const notch = behind === null || condyles === null ? null : posteriorNotch(behind, condyles)
  const tubercle = own('tubercle', frontmost(top, knee[1] - 0.16 * length, knee[1] - 0.06 * length) ?? knee)
  const front = contourIn(bone, limb, { point: [0, tubercle[1], 0], normal: [0, 1, 0] })
  const third3 = front === null ? null : medialThirdOfFront(front, [tubercle[0], tubercle[2]])
  if (behind === null || notch === null || third3 === null) return null
  const tangent = posteriorTangent(behind)
  return {
    spines,
    medial,
    lateral,
    plafond,
    malleolus: foot.lowest,
    posteriorNotch: onPlane(joint, notch),
    tubercle,
    medialThird: [third3[0], tubercle[1], third3[1]],
    posteriorTangent: [tangent.along[0], 0, tangent.along[1]],
  }
}

interface Extents {
  readonly x: readonly [number, number]
  readonly y: readonly [number, number]
  readonly z: readonly [number, number]
  readonly lowest: Vec3
}

/** Bounds of the vertices above a level. */
function extents(part: Mesh, above: number): Extents | null {
  const p = part.positions
  const low: [number, number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]
  const high: [number, number, number] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY]
  let lowest: Vec3 = [0, 0, 0]
  for (let i = 0; i < p.length; i += 3) {
    if (p[i + 1]! < above) continue
    if (p[i + 1]! < low[1]) lowest = [p[i]!, p[i + 1]!, p[i + 2]!]
    for (let k = 0; k < 3; k++) {
      low[k as 0] = Math.min(low[k]!, p[i + k]!)
      high[k as 0] = Math.max(high[k]!, p[i + k]!)
    }
  }
  return low[0] <= high[0] ? { x: [low[0], high[0]], y: [low[1], high[1]], z: [low[2], high[2]], lowest } : null
}

function plafondOf(bottom: Mesh, foot: Extents, lengthMm: number): BearingPatch | null {
  const reach = 0.05 * lengthMm
  const field: HeightField = heightField(
    bottom,
    'below',
    { x: foot.x, z: foot.z, y: [foot.y[0], foot.y[0] + reach] },
    stepMm,
    smoothMm,
  )
  return bearingPatch(field, [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY])
}

/** The vertex with the greatest x between two levels; null when none lies there. */
function frontmost(part: Mesh, bottom: number, top: number): Vec3 | null {
  const p = part.positions
  let at = -1
  for (let i = 0; i < p.length; i += 3)
    if (p[i + 1]! >= bottom && p[i + 1]! <= top && (at < 0 || p[i]! > p[at]!)) at = i
  return at < 0 ? null : [p[at]!, p[at + 1]!, p[at + 2]!]
}

/** How far below the plateau points the notch behind the eminence is looked for, mm. */
const notchDepthMm = 3
/** How far below the lower plateau point the condyles' own axes are taken, mm. */
const condylesDepthMm = 8

/** The plane through both plateau points along their mean slope, lowered; limb coordinates. */
function planeBelowPlateaus(medial: BearingPatch, lateral: BearingPatch): Plane {
  const trace = (patch: BearingPatch) => -patch.normal[0] / patch.normal[1]
  const slope = (trace(medial) + trace(lateral)) / 2
  const across = sub(lateral.point, medial.point)
  const normal = unit(cross(across, [1, slope, 0]))
  const upward = normal[1] >= 0 ? normal : scale(normal, -1)
  return {
    point: addScaled(midpoint(medial.point, lateral.point), upward, -notchDepthMm),
    normal: upward,
  }
}

/** The point of a plane over (x, z). */
function onPlane({ point, normal }: Plane, [x, z]: Flat): Vec3 {
  return [x, point[1] - ((x - point[0]) * normal[0] + (z - point[2]) * normal[2]) / normal[1], z]
}

/** The bone's outline in a plane given in limb coordinates, seen along Y. */
function contourIn(bone: BoneMesh, limb: LimbFrame, plane: Plane): readonly Flat[] | null {
  const cut = section(bone.tree, {
    point: outOfLimb(limb, plane.point),
    normal: directionOutOfLimb(limb, plane.normal),
  })
  return largestLoop(
    cut.loops.map((loop) =>
      loop.map((p): Flat => {
        const q = intoLimb(limb, p)
        return [q[0], q[2]]
      }),
    ),
  )
}

/** Direction (laterally) and middle of the hull edge behind the section's centre: the tangent of its back. */
function posteriorTangent(loop: readonly Flat[]): { readonly along: Flat; readonly middle: Flat } {
  const hull = convexHull(loop)
  const centre = hull.reduce((s, p) => s + p[1], 0) / hull.length
  let best: { along: Flat; middle: Flat } = { along: [0, 1], middle: hull[0] ?? [0, 0] }
  let behind = Number.POSITIVE_INFINITY
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!
    const b = hull[(i + 1) % hull.length]!
    if (a[1] > centre === b[1] > centre) continue
    const x = a[0] + ((centre - a[1]) / (b[1] - a[1])) * (b[0] - a[0])
    if (x >= behind) continue
    behind = x
    const [m, l] = a[1] < b[1] ? [a, b] : [b, a]
    best = { along: [l[0] - m[0], l[1] - m[1]], middle: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] }
  }
  return best
}

function plateauPoint(patch: BearingPatch, references: References): Vec3 {
  return references.plateauPoint === 'deepest' ? patch.deepest : patch.point
}

function frameFrom(limb: LimbFrame, found: Reading, { references, overrides = {}, femur }: TibiaChoices): LimbFrame {
  const at = (id: LandmarkId, q: Vec3): Vec3 => overrides[id]?.mm ?? outOfLimb(limb, q)
  const spines = at('spinesCentre', midpoint(found.spines.medial, found.spines.lateral))
  const plateaus = midpoint(
    at('plateauMedial', plateauPoint(found.medial, references)),
    at('plateauLateral', plateauPoint(found.lateral, references)),
  )
  const knee = overrides.tibialKneeCentre?.mm ?? (references.tibialKneeCentre === 'spines' ? spines : plateaus)
  const ankle = ankleOf(limb, found, references, overrides)
  const anterior =
    references.tibialAnterior === 'posterior-tangent'
      ? directionOutOfLimb(limb, [found.posteriorTangent[2], 0, -found.posteriorTangent[0]])
      : references.tibialAnterior === 'femoral' && femur
        ? femur.frame.x
        : sub(at('tubercleMedialThird', found.medialThird), at('posteriorNotch', found.posteriorNotch))
  return limbFromAnterior(knee, sub(knee, ankle), anterior, limb.lateral)
}

function ankleOf(limb: LimbFrame, found: Reading, references: References, overrides: LandmarkOverrides): Vec3 {
  if (overrides.ankleCentre) return overrides.ankleCentre.mm
  const lateral = overrides.malleolusLateral
  if (references.ankleCentre === 'malleoli' && lateral)
    return midpoint(overrides.malleolusMedial?.mm ?? outOfLimb(limb, found.malleolus), lateral.mm)
  return outOfLimb(limb, found.plafond.point)
}

function assemble(bone: BoneMesh, { limb, reading }: Settled, choices: TibiaChoices): Result<TibiaAnatomy> {
  const { references, overrides = {} } = choices
  const ankle = ankleOf(limb, reading, references, overrides)
  const length = distance(limb.origin, ankle)
  const shaft = shaftAxis(bone, limb.origin, limb.proximal, -0.14 * length, -0.4 * length)
  if (shaft === null) return fail('anatomy/not-a-tibia', 'The shaft of this tibia could not be followed.')
  const landmarks: Partial<Record<LandmarkId, Landmark>> = {}
  const put = (id: LandmarkId, q: Vec3, confidence: number, residualMm: number | null = null) => {
    const chosen = orOverride(id, foundLandmark(id, outOfLimb(limb, q), confidence, residualMm), overrides)
    if (chosen !== null) landmarks[id] = chosen
  }
  const medial = withPoint(reading.medial, plateauPoint(reading.medial, references))
  const lateral = withPoint(reading.lateral, plateauPoint(reading.lateral, references))
  put('spinesCentre', midpoint(reading.spines.medial, reading.spines.lateral), reading.spines.count === 2 ? 0.9 : 0.6)
  put('tibialKneeCentre', [0, 0, 0], 0.9)
  put('plateauMedial', medial.point, 0.9, medial.rmsMm)
  put('plateauLateral', lateral.point, 0.9, lateral.rmsMm)
  put('posteriorNotch', reading.posteriorNotch, 0.7)
  put('tubercle', reading.tubercle, 0.8)
  put('tubercleMedialThird', reading.medialThird, 0.8)
  put('malleolusMedial', reading.malleolus, 0.9)
  put('ankleCentre', intoLimb(limb, ankle), 0.9, reading.plafond.rmsMm)
  if (overrides.malleolusLateral) put('malleolusLateral', [0, 0, 0], 1)
  return ok({
    side: sideOfLimb(limb),
    landmarks,
    frame: frameOfLimb(limb),
    medial: patchInPatient(limb, medial, landmarks.plateauMedial),
    lateral: patchInPatient(limb, lateral, landmarks.plateauLateral),
    proximalShaft: { point: shaft.point, direction: shaft.direction },
    truncated: false,
  })
}

const withPoint = (patch: BearingPatch, point: Vec3): BearingPatch => ({ ...patch, point })

function patchInPatient(limb: LimbFrame, patch: BearingPatch, landmark: Landmark | undefined): PlateauPatch {
  return {
    point: landmark?.mm ?? outOfLimb(limb, patch.point),
    normal: directionOutOfLimb(limb, patch.normal),
    areaMm2: patch.areaMm2,
    rmsMm: patch.rmsMm,
  }
}
