import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { distance, midpoint, sub, type Vec3 } from '../geometry/vec.ts'
import { calmBone, type Grain } from './calm-surface.ts'
import { coarseEdgesMm } from './coarse-tibia.ts'
import { foundLandmark, orOverride } from './landmark.ts'
import {
  directionOutOfLimb,
  frameOfLimb,
  intoLimb,
  type LimbFrame,
  limbFromAnterior,
  limbTowards,
  outOfLimb,
  sideOfLimb,
  slab,
} from './limb.ts'
import { ramp } from './ramp.ts'
import { plafondWanderMm, wanderingPlafond } from './read-ankle.ts'
import { outlineLevel } from './read-plateaus.ts'
import { recogniseBone } from './recognise-bone.ts'
import { giveBeside, noKnee, recogniseCompanion } from './recognise-companion.ts'
import { hidesSide, recognisePart, sidedAsDeclared } from './recognise-part.ts'
import type { BearingPatch } from './settled-patch.ts'
import { Settling } from './settling.ts'
import { availableShaft, shaftAxis } from './shaft-axis.ts'
import { sketchOf } from './sketch.ts'
import type {
  Axis,
  FemurAnatomy,
  Landmark,
  LandmarkId,
  LandmarkOverrides,
  PlateauPatch,
  References,
  Side,
  TibiaAnatomy,
} from './terms.ts'
import { type PlateauDoubt, tibiaDoubts } from './tibia-doubts.ts'
import { readTibia, type TibiaEnds, type TibiaReading } from './tibia-reading.ts'

export interface TibiaChoices {
  readonly references: References
  readonly overrides?: LandmarkOverrides
  /** Declared side; used only where shape cannot tell. */
  readonly side?: Side
  /** Needed when the femoral reference is carried over to the tibia's front. */
  readonly femur?: FemurAnatomy
}

/** L of a tibia whose ankle is missing, in widths across the condyles as the finder measures them (check values §10). */
const lengthOverWidth = 3.9

/**
 * Finds everything on one tibia from its shape alone: plateau patches, spines, posterior notch, tubercle, plafond,
 * malleolus, shaft and frame (definitions in DEVELOPERS.md), iterated until the frame stays. Landmarks set by hand
 * replace the found ones and the frame follows. A tibia cut off in the shaft is found too: without an ankle (given as an
 * override) its shaft axis stands in for Y and `truncated` says so. A surface that is no tibia: `anatomy/not-a-tibia`.
 */
export function findTibia(surface: BoneMesh, asked: TibiaChoices): Result<TibiaAnatomy> {
  const choices = { ...asked, overrides: withoutPlafond(asked.references, asked.overrides ?? {}) }
  const { bone, grain, noiseMm } = calmBone(surface)
  const sketch = sketchOf(bone.mesh, bone.box)
  const situation = situate({ bone, surface }, sketch, choices)
  if (!situation.ok) return situation
  const { references } = choices
  const showsAnkle = situation.value.ends.distal !== null || choices.overrides?.ankleCentre?.from !== undefined
  if (references.ankleCentre === 'malleoli' && !choices.overrides?.malleolusLateral && showsAnkle)
    return fail('landmark/missing', 'The midpoint of the malleoli needs the tip of the lateral malleolus.', {
      hint: 'Give the fibula, set the lateral malleolus by hand, or use the plafond.',
      place: 'references.ankleCentre',
    })
  if (references.tibialAnterior === 'femoral' && !choices.femur)
    return fail('landmark/missing', 'The femoral reference needs the femur in the same frame.', {
      place: 'references.tibialAnterior',
    })
  const settled = settleFrame(bone, grain, situation.value, choices)
  if (settled === null)
    return fail('anatomy/not-a-tibia', 'The plateaus, spines or plafond of this tibia could not be found.', {
      hint: 'Set the knee centre, the ankle centre and the plateau points by hand.',
    })
  const fromFile = asked.overrides?.ankleCentre
  const wanderMm = plafondWanderMm(situation.value.ends.distal, settled.limb, settled.reading.plafond, {
    ...fineEffort,
    grain,
  })
  const anatomy = assemble(
    bone,
    situation.value,
    { ...settled, wanderMm, noiseMm },
    choices,
    fromFile?.from ? fromFile.mm : null,
  )
  return anatomy.ok ? ok({ ...anatomy.value, noiseMm }) : anatomy
}

/** What is known before the landmarks: directions to start from, and what tells the long axis. */
interface Situation {
  readonly limb: LimbFrame
  readonly sideUnclear: boolean
  readonly ends: TibiaEnds
  /** The same ends of a sketch of the bone, to read roughly first; null where the surface is quick enough. */
  readonly sketched: TibiaEnds | null
  /** Stands in for the mechanical axis when there is no ankle; unit, proximal. */
  readonly standIn: Vec3
}

/** The bone as the finder looks at it, and before its holes were bridged. */
interface Seen {
  readonly bone: BoneMesh
  readonly surface: BoneMesh
}

function situate({ bone, surface }: Seen, sketch: Mesh, { side }: TibiaChoices): Result<Situation> {
  const seen = recogniseBone(bone, surface, sketch)
  if (seen.bone === 'tibia') {
    const { limb, lengthMm } = seen
    const end = (mesh: Mesh, low: number, high: number) =>
      slab(mesh, limb.origin, limb.proximal, low * lengthMm, high * lengthMm)
    const coarse = ramp(meanEdgeMm(end(bone.mesh, -0.06, 0.2)), ...coarseEdgesMm)
    const endsOf = (mesh: Mesh): TibiaEnds => ({
      proximal: end(mesh, -0.22, 0.2),
      distal: end(mesh, -1.2, -0.8),
      assumedLengthMm: lengthMm,
      cut: null,
      coarse,
    })
    const sketched = sketch === bone.mesh ? null : endsOf(sketch)
    return ok({ limb, sideUnclear: false, ends: endsOf(bone.mesh), sketched, standIn: limb.proximal })
  }
  const kneeless = seen.bone === 'unknown' && seen.kneeless === true
  const part = seen.bone === 'unknown' && !kneeless ? recognisePart(bone, surface) : null
  const companion = part || kneeless ? recogniseCompanion(bone, surface) : null
  if (companion) return fail('anatomy/not-a-tibia', noKnee(companion), { hint: giveBeside })
  if (part?.bone === 'tibia') {
    const limb = sidedAsDeclared(part, side ?? null)
    const ends = {
      proximal: bone.mesh,
      distal: null,
      assumedLengthMm: lengthOverWidth * part.widthMm,
      cut: part.cut,
      coarse: 0,
    }
    return ok({
      limb,
      sideUnclear: hidesSide(part) && side === undefined,
      ends,
      sketched: null,
      standIn: limb.proximal,
    })
  }
  const isFemur = seen.bone === 'femur' || part?.bone === 'femur'
  const reason = seen.bone === 'unknown' ? ` ${seen.reason}` : ''
  return fail('anatomy/not-a-tibia', isFemur ? 'This bone is a femur.' : `This is no tibia.${reason}`, {
    hint: 'Check which file was given as the tibia.',
  })
}

interface Settled {
  readonly limb: LimbFrame
  readonly reading: TibiaReading
}

/** Reads the bone and rebuilds the frame from it until both stay: roughly first, then finely. */
function settleFrame(bone: BoneMesh, grain: Grain, s: Situation, choices: TibiaChoices): Settled | null {
  const overrides = choices.overrides ?? {}
  // Long triangles make the reading jump between frames; more rounds would not end it.
  const mostRounds = s.ends.coarse > 0 ? 24 : 80
  const settling = new Settling(stillMm, mostRounds, tremorMm)
  let limb = s.limb
  let fine = false
  let levelMm: number | null = null
  for (let round = 0; ; round++) {
    const rough = { ...roughEffort, grain }
    const effort = fine ? { ...fineEffort, grain } : rough
    const sketched = !fine && s.sketched ? readTibia(bone, s.sketched, limb, overrides, rough, levelMm) : null
    const reading: TibiaReading | null = sketched ?? readTibia(bone, s.ends, limb, overrides, effort, levelMm)
    if (reading === null) return null
    const next = frameFrom(s, limb, reading, choices)
    const moved =
      distance(next.origin, limb.origin) +
      100 * (distance(next.proximal, limb.proximal) + distance(next.anterior, limb.anterior))
    if (fine && settling.ends(moved)) return { limb, reading }
    const taken = limbTowards(limb, next, fine ? settling.step() : 1)
    levelMm = outlineLevel(reading, limb, taken)
    limb = taken
    fine ||= moved < 0.5 || round > 15
  }
}

/** A frame that moves less (mm, and mm at 100 mm) is at rest: the next round would move it three times less. */
const stillMm = 2e-5
/** Nodes that enter and leave a patch keep a frame astir by a few thousandths of a mm, and of a degree. */
const tremorMm = 3e-3
const roughEffort = { stepMm: 1, rounds: 30 }
const fineEffort = { stepMm: 0.5, rounds: 60 }

function plateauPoint(patch: BearingPatch, references: References): Vec3 {
  return references.plateauPoint === 'deepest' ? patch.deepest : patch.point
}

function frameFrom(
  s: Situation,
  limb: LimbFrame,
  found: TibiaReading,
  { references, overrides = {}, femur }: TibiaChoices,
): LimbFrame {
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
      ? directionOutOfLimb(limb, forwardOf(found))
      : references.tibialAnterior === 'femoral' && femur
        ? femur.frame.x
        : found.coarseAnterior && !overrides.posteriorNotch && !overrides.tubercleMedialThird
          ? directionOutOfLimb(limb, found.coarseAnterior)
          : sub(at('tubercleMedialThird', found.medialThird), at('posteriorNotch', found.posteriorNotch))
  return limbFromAnterior(knee, ankle ? sub(knee, ankle) : s.standIn, anterior, limb.lateral)
}

/** Square to the tangent behind the condyles, in limb coordinates. */
const forwardOf = ({ posteriorTangent: t }: TibiaReading): Vec3 => [t[2], 0, -t[0]]

/** The ankle centre in the patient frame; null when the scan does not show it and none is given. */
function ankleOf(
  limb: LimbFrame,
  found: TibiaReading,
  references: References,
  overrides: LandmarkOverrides,
): Vec3 | null {
  if (overrides.ankleCentre) return overrides.ankleCentre.mm
  const lateral = overrides.malleolusLateral
  const medial = overrides.malleolusMedial?.mm ?? (found.malleolus && outOfLimb(limb, found.malleolus))
  if (references.ankleCentre === 'malleoli' && lateral && medial) return midpoint(medial, lateral.mm)
  return found.plafond && outOfLimb(limb, found.plafond.point)
}

/** A plafond read from a companion file gives way where the malleoli are to tell the ankle's centre. */
function withoutPlafond(references: References, overrides: LandmarkOverrides): LandmarkOverrides {
  const { ankleCentre, ...rest } = overrides
  const tips = overrides.malleolusMedial && overrides.malleolusLateral
  return references.ankleCentre === 'malleoli' && ankleCentre?.from && tips ? rest : overrides
}

function assemble(
  bone: BoneMesh,
  s: Situation,
  { limb, reading, wanderMm, noiseMm }: Settled & { readonly wanderMm: number; readonly noiseMm: number },
  choices: TibiaChoices,
  plafond: Vec3 | null,
): Result<TibiaAnatomy> {
  const { references, overrides = {} } = choices
  const ankle = ankleOf(limb, reading, references, overrides)
  const length = ankle ? distance(limb.origin, ankle) : s.ends.assumedLengthMm
  const shaft = proximalShaft(bone, s, limb, length)
  if (shaft === null) return fail('anatomy/not-a-tibia', 'The shaft of this tibia could not be followed.')
  const landmarks: Partial<Record<LandmarkId, Landmark>> = {}
  const put = (
    id: LandmarkId,
    q: Vec3 | null,
    confidence: number,
    residualMm: number | null = null,
    reason: string | null = null,
  ) => {
    const found = q && foundLandmark(id, outOfLimb(limb, q), confidence, residualMm, reason)
    const chosen = orOverride(id, found, overrides)
    if (chosen !== null) landmarks[id] = chosen
  }
  const medial = withPoint(reading.medial, plateauPoint(reading.medial, references))
  const lateral = withPoint(reading.lateral, plateauPoint(reading.lateral, references))
  const spines = midpoint(reading.spines.medial, reading.spines.lateral)
  const doubts = tibiaDoubts(reading, { medial, lateral }, { coarse: s.ends.coarse, noiseMm })
  const cutMm = s.ends.cut === null ? Number.POSITIVE_INFINITY : -intoLimb(limb, s.ends.cut.point)[1]
  const short = ankle === null && cutMm < leastShaftMm ? endsShort(cutMm) : null
  const found = (
    id: LandmarkId,
    q: Vec3 | null,
    confidence: number,
    residualMm: number | null,
    reason: string | null,
  ) =>
    short === null
      ? put(id, q, confidence, residualMm, reason)
      : put(id, q, Math.min(confidence, onShort), residualMm, endsTooSoon(cutMm))
  found('spinesCentre', spines, doubts.spines.confidence, null, doubts.spines.reason)
  const onSpines = references.tibialKneeCentre === 'spines' && !overrides.spinesCentre
  const centre = onSpines ? doubts.spines : { confidence: 0.9, reason: null }
  found('tibialKneeCentre', [0, 0, 0], centre.confidence, null, centre.reason)
  found('plateauMedial', medial.point, doubts.medial.confidence, medial.rmsMm, doubts.medial.reason)
  found('plateauLateral', lateral.point, doubts.lateral.confidence, lateral.rmsMm, doubts.lateral.reason)
  const { coarse, unclear } = doubts
  found('posteriorNotch', reading.posteriorNotch, unclear ? 0.3 : 0.7, null, unclear)
  found('tubercle', reading.tubercle, coarse ? 0.4 : 0.8, null, coarse)
  found('tubercleMedialThird', reading.medialThird, coarse ? 0.4 : 0.8, null, coarse)
  put('malleolusMedial', reading.malleolus, 0.9)
  put('malleolusLateral', null, 1)
  const spread = coarse ?? wanderingPlafond(wanderMm)
  put('ankleCentre', ankle && intoLimb(limb, ankle), spread ? 0.6 : 0.9, reading.plafond?.rmsMm ?? null, spread)
  const plateau = (patch: BearingPatch, landmark: Landmark | undefined, { unevenMm, slopeUnclear }: PlateauDoubt) => ({
    ...patchInPatient(limb, patch, landmark),
    unevenMm,
    slopeUnclear: coarse ?? short ?? slopeUnclear,
  })
  return ok({
    side: sideOfLimb(limb),
    ...(s.sideUnclear ? { sideUnclear: true } : {}),
    landmarks,
    frame: frameOfLimb(limb),
    medial: plateau(medial, landmarks.plateauMedial, doubts.medial),
    lateral: plateau(lateral, landmarks.plateauLateral, doubts.lateral),
    proximalShaft: shaft,
    ...(s.ends.cut === null ? {} : { shaftTiltDeg: tiltOfCut(cutMm) }),
    truncated: ankle === null,
    otherwise: {
      plafond: plafond ?? (reading.plafond && outOfLimb(limb, reading.plafond.point)),
      ankleShown: reading.plafond !== null,
      posteriorTangentForward: directionOutOfLimb(limb, forwardOf(reading)),
      centroids: { medial: outOfLimb(limb, reading.medial.point), lateral: outOfLimb(limb, reading.lateral.point) },
      deepest: { medial: outOfLimb(limb, reading.medial.deepest), lateral: outOfLimb(limb, reading.lateral.deepest) },
    },
  })
}

/**
 * A scan that ends nearer to the joint shows the flare of the condyles and no shaft: on three real tibiae cut at 40…65 mm the
 * axis of what is left lay 10° to 21° off, from 70 mm on under 7°.
 */
const leastShaftMm = 68
const endsShort = (mm: number): string =>
  `The scan ends ${mm.toFixed(0)} mm below the joint: too short for a shaft axis, so no slope is told against one. Give the ankle centre.`
/**
 * How far the axis of a shaft cut so far below the joint lies off the whole bone's proximal shaft, 1 SD, degrees: RMS of four real and four
 * made tibiae 4.3° at 70 mm, 2.5° at 80, 1.3° at 100, 0.4° at 140.
 */
const tiltOfCut = (mm: number): number => Math.max(0.4, 1.3 * (100 / mm) ** 3.3)
/** Found about an axis that may lie 20° off, a point lies up to 15 mm off. */
const onShort = 0.3
const endsTooSoon = (mm: number): string =>
  `The scan ends ${mm.toFixed(0)} mm below the joint: the axis of so short a piece may lie 20° off, and this point with it. Look, and set it by hand or give the ankle centre.`

/** Axis of the proximal shaft; on a truncated bone of the stretch there is. */
function proximalShaft(bone: BoneMesh, s: Situation, limb: LimbFrame, length: number): Axis | null {
  if (s.ends.cut === null) {
    const fit = shaftAxis(bone, limb.origin, limb.proximal, -0.14 * length, -0.4 * length)
    return fit && { point: fit.point, direction: fit.direction }
  }
  const cut = intoLimb(limb, s.ends.cut.point)[1]
  return availableShaft(bone, limb, Math.max(-0.14 * length, 0.6 * cut), Math.max(-0.4 * length, cut + 3), s.standIn)
}

const withPoint = (patch: BearingPatch, point: Vec3): BearingPatch => ({ ...patch, point })

function patchInPatient(limb: LimbFrame, patch: BearingPatch, landmark: Landmark | undefined): PlateauPatch {
  return {
    point: landmark?.mm ?? outOfLimb(limb, patch.point),
    normal: directionOutOfLimb(limb, patch.normal),
    areaMm2: patch.areaMm2,
    rmsMm: patch.rmsMm,
    border: (patch.border?.() ?? []).map((p) => outOfLimb(limb, p)),
  }
}
