import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { distance, dot, midpoint, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import type { Bridge } from './bridge.ts'
import { calmBone } from './calm-surface.ts'
import { fitCondylarCylinder } from './condylar-cylinder.ts'
import { sureFrom } from './confidence-word.ts'
import { flatDomePerMm } from './epicondyles.ts'
import { type FemurReading, readFemur } from './femur-reading.ts'
import type { HeadSphere } from './head-sphere.ts'
import { foundLandmark, noEvidence, orOverride } from './landmark.ts'
import {
  directionOutOfLimb,
  frameOfLimb,
  type LimbFrame,
  limbFromLateral,
  limbTowards,
  meshIntoLimb,
  outOfLimb,
  sideOfLimb,
  slab,
} from './limb.ts'
import { isRoofBent } from './notch-saddle.ts'
import { recogniseBone } from './recognise-bone.ts'
import { giveBeside, noKnee, recogniseCompanion } from './recognise-companion.ts'
import { hidesSide, lengthToCut, recognisePart, sidedAsDeclared } from './recognise-part.ts'
import { Settling } from './settling.ts'
import { availableShaft, shaftAxis } from './shaft-axis.ts'
import { sketchOf } from './sketch.ts'
import type { Axis, FemurAnatomy, Landmark, LandmarkId, LandmarkOverrides, References, Side } from './terms.ts'

export interface FemurChoices {
  readonly references: References
  readonly overrides?: LandmarkOverrides
  /** Declared side; used only where shape cannot tell. */
  readonly side?: Side
}

/** Share of L up to which a femur counts as its distal part. */
const distalShare = 0.12
/** L of a femur whose hip is missing, in widths across the condyles as the finder measures them (check values §10). */
const lengthOverWidth = 4.6

/**
 * Finds everything on one femur from its shape alone: head, condyles, notch, epicondyles, shaft and frame (definitions
 * in DEVELOPERS.md), iterated until the frame stays. Landmarks set by hand replace the found ones and the frame follows.
 * A femur cut off in the shaft is found too: without a hip (given as an override) its shaft axis stands in for Y and
 * `truncated` says so. A surface that is no femur: `anatomy/not-a-femur`.
 */
export function findFemur(surface: BoneMesh, choices: FemurChoices): Result<FemurAnatomy> {
  const { bone, noiseMm } = calmBone(surface)
  const sketch = sketchOf(bone.mesh, bone.box)
  const situation = situate({ bone, surface }, sketch, choices)
  if (!situation.ok) return situation
  const settled = settleFrame(bone, sketch, situation.value, choices)
  if (settled === null)
    return fail('anatomy/not-a-femur', 'The condyles and the notch of this femur could not be found.', {
      hint: 'Set the knee centre and the condyle points by hand.',
    })
  const anatomy = assemble(bone, situation.value, settled, choices)
  return anatomy.ok ? ok({ ...anatomy.value, noiseMm }) : anatomy
}

/** What is known before the landmarks: directions to start from, and what tells the long axis. */
interface Situation {
  readonly limb: LimbFrame
  readonly sideUnclear: boolean
  readonly head: HeadSphere | null
  readonly hip: Vec3 | null
  /** Stands in for the mechanical axis when there is no hip; unit, proximal. */
  readonly standIn: Vec3
  /** L where there is no hip, mm. */
  readonly assumedLengthMm: number
  /** Height of a scan's end above a point along a direction; infinite on a whole bone. */
  readonly cutAbove: (origin: Vec3, long: Vec3) => number
}

/** The bone as the finder looks at it, and before its holes were bridged. */
interface Seen {
  readonly bone: BoneMesh
  readonly surface: BoneMesh
}

function situate({ bone, surface }: Seen, sketch: Mesh, { overrides = {}, side }: FemurChoices): Result<Situation> {
  const seen = recogniseBone(bone, surface, sketch)
  const given = overrides.hipCentre?.mm ?? null
  if (seen.bone === 'femur')
    return ok({
      limb: seen.limb,
      sideUnclear: false,
      head: seen.head,
      hip: given ?? seen.head.centre,
      standIn: seen.limb.proximal,
      assumedLengthMm: seen.lengthMm,
      cutAbove: () => Number.POSITIVE_INFINITY,
    })
  const kneeless = seen.bone === 'unknown' && seen.kneeless === true
  const part = seen.bone === 'unknown' && !kneeless ? recognisePart(bone, surface) : null
  const companion = part || kneeless ? recogniseCompanion(bone, surface) : null
  if (companion) return fail('anatomy/not-a-femur', noKnee(companion), { hint: giveBeside })
  if (part?.bone === 'femur') {
    const limb = sidedAsDeclared(part, side ?? null)
    return ok({
      limb,
      sideUnclear: hidesSide(part) && side === undefined,
      head: null,
      hip: given,
      standIn: limb.proximal,
      assumedLengthMm: lengthOverWidth * part.widthMm,
      cutAbove: (origin, long) => lengthToCut(part.cut, origin, long),
    })
  }
  const isTibia = seen.bone === 'tibia' || part?.bone === 'tibia'
  const reason = seen.bone === 'unknown' ? ` ${seen.reason}` : ''
  return fail('anatomy/not-a-femur', isTibia ? 'This bone is a tibia.' : `This is no femur.${reason}`, {
    hint: 'Check which file was given as the femur.',
  })
}

const lengthOf = (s: Situation, limb: LimbFrame): number => (s.hip ? distance(s.hip, limb.origin) : s.assumedLengthMm)

/** Height up to which the distal part is read, mm. */
function topOf(s: Situation, limb: LimbFrame): number {
  const margin = 4
  return Math.min(distalShare * lengthOf(s, limb), s.cutAbove(limb.origin, limb.proximal) - margin)
}

interface Settled {
  /** In which the end was read. */
  readonly limb: LimbFrame
  readonly reading: FemurReading
  /** Made from the reading. */
  readonly own: LimbFrame
}

/** Reads the distal end and rebuilds the frame from it until both stay: of the sketch a few times, then of the surface. */
function settleFrame(
  bone: BoneMesh,
  sketch: Mesh,
  s: Situation,
  { references, overrides = {} }: FemurChoices,
): Settled | null {
  const length = s.assumedLengthMm
  const distal = (mesh: Mesh) => slab(mesh, s.limb.origin, s.limb.proximal, -0.2 * length, 0.12 * length)
  const wantsCylinder = references.femoralMedioLateral === 'condylar-cylinder'
  const read = (part: Mesh, limb: LimbFrame) =>
    readFemur(meshIntoLimb(part, limb), topOf(s, limb), lengthOf(s, limb), wantsCylinder)
  let limb = s.limb
  const sketched = sketch === bone.mesh ? null : distal(sketch)
  for (let round = 0; sketched && round < sketchRounds; round++) {
    const reading = read(sketched, limb)
    if (reading === null) break
    limb = frameFrom(s, limb, reading, references, overrides)
  }
  const mesh = distal(bone.mesh)
  const settling = new Settling(stillMm, mostRounds)
  for (;;) {
    const reading = read(mesh, limb)
    if (reading === null) return null
    const next = frameFrom(s, limb, reading, references, overrides)
    const moved =
      distance(next.origin, limb.origin) +
      100 * (distance(next.proximal, limb.proximal) + distance(next.lateral, limb.lateral))
    // A frame that will not rest stays between the two that it alternates with.
    if (settling.ends(moved)) return { limb, reading, own: moved < stillMm ? next : limb }
    limb = limbTowards(limb, next, settling.step())
  }
}

/** After so many rounds the sketch's frame stays within what it differs from the surface. */
const sketchRounds = 2
const mostRounds = 60
/** A frame that moves less (mm, and mm at 100 mm) is at rest: the next round would move it twenty times less. */
const stillMm = 2e-5

function frameFrom(
  s: Situation,
  limb: LimbFrame,
  found: FemurReading,
  references: References,
  overrides: LandmarkOverrides,
): LimbFrame {
  const at = (id: LandmarkId, q: Vec3): Vec3 => overrides[id]?.mm ?? outOfLimb(limb, q)
  const epicondyleMedial = at('epicondyleMedial', found.epicondyles.medial.point)
  const epicondyleLateral = at('epicondyleLateral', found.epicondyles.lateral.point)
  const notch = at('notchCentre', found.notch)
  const knee =
    overrides.femoralKneeCentre?.mm ??
    (references.femoralKneeCentre === 'notch' ? notch : midpoint(epicondyleMedial, epicondyleLateral))
  const posteriorLine = sub(
    at('condylePosteriorLateral', found.posterior.lateral),
    at('condylePosteriorMedial', found.posterior.medial),
  )
  const line =
    references.femoralMedioLateral === 'epicondylar'
      ? sub(epicondyleLateral, epicondyleMedial)
      : references.femoralMedioLateral === 'condylar-cylinder' && found.cylinder
        ? directionOutOfLimb(limb, found.cylinder.direction)
        : posteriorLine
  return limbFromLateral(knee, s.hip ? sub(s.hip, knee) : s.standIn, line, limb.anterior)
}

function assemble(
  bone: BoneMesh,
  s: Situation,
  { limb, reading, own }: Settled,
  { overrides = {}, references }: FemurChoices,
): Result<FemurAnatomy> {
  const length = lengthOf(s, limb)
  const shafts = shaftsOf(bone, s, limb, length)
  const cutMm = s.cutAbove(limb.origin, limb.proximal)
  if (shafts === null) return fail('anatomy/not-a-femur', 'The shaft of this femur could not be followed.')
  const top = topOf(s, limb)
  const part = meshIntoLimb(slab(bone.mesh, limb.origin, limb.proximal, -0.2 * length, top + 8), limb)
  const cylinder = reading.cylinder ?? fitCondylarCylinder(part, reading.posterior, top)
  const landmarks: Partial<Record<LandmarkId, Landmark>> = {}
  const put = (id: LandmarkId, landmark: Landmark | null) => {
    const chosen = orOverride(id, landmark, overrides)
    if (chosen !== null) landmarks[id] = chosen
  }
  const short = s.hip === null && cutMm < leastShaftMm ? endsTooSoon(cutMm) : null
  const foundAt = (id: LandmarkId, mm: Vec3, confidence: number, reason: string | null = null) =>
    put(id, foundLandmark(id, mm, short ? onShort : confidence, null, bothOf(reason, short)))
  const headSure = s.head ? headConfidence(s.head) : 0
  const worn = s.head && headSure < sureFrom ? wornHead(s.head) : null
  put('hipCentre', s.head && foundLandmark('hipCentre', s.head.centre, headSure, s.head.rmsMm, worn))
  const roof = isRoofBent(part, reading.notch) ? bentRoof : null
  const roofAt = (id: LandmarkId, mm: Vec3, reason: string | null) =>
    foundAt(id, mm, reason ? besideBentRoof : 0.9, reason)
  roofAt('notchCentre', outOfLimb(limb, reading.notch), roof)
  roofAt('femoralKneeCentre', own.origin, references.femoralKneeCentre === 'notch' ? roof : null)
  for (const [pair, ids] of [
    [reading.distal, ['condyleDistalMedial', 'condyleDistalLateral']],
    [reading.posterior, ['condylePosteriorMedial', 'condylePosteriorLateral']],
  ] as const)
    for (const [k, side] of (['medial', 'lateral'] as const).entries()) {
      const narrow = besideLeftOut(pair, side)
      foundAt(ids[k]!, outOfLimb(limb, pair[side]), narrow ? besideNarrow : 0.95, narrow ? narrowPiece : null)
    }
  for (const side of ['medial', 'lateral'] as const) {
    const id = side === 'medial' ? 'epicondyleMedial' : 'epicondyleLateral'
    const { point, sharpnessPerMm, atMargin } = reading.epicondyles[side]
    const reason = short
      ? short
      : atMargin
        ? margin
        : sharpnessPerMm < flatDomePerMm
          ? flatDome
          : sharpnessPerMm > spikePerMm
            ? spike
            : null
    const landmark = foundLandmark(id, outOfLimb(limb, point), atMargin ? 0.3 : reason ? onShort : 0.75, null, reason)
    put(id, { ...landmark, evidence: { ...noEvidence, sharpnessPerMm } })
  }
  const frame = frameOfLimb(own)
  const lateral = cylinder === null ? null : directionOutOfLimb(limb, cylinder.direction)
  return ok({
    side: sideOfLimb(limb),
    ...(s.sideUnclear ? { sideUnclear: true } : {}),
    landmarks,
    frame,
    head: s.head && { centre: s.head.centre, radiusMm: s.head.radiusMm, rmsMm: s.head.rmsMm },
    condylarCylinder:
      cylinder === null || lateral === null
        ? null
        : {
            point: outOfLimb(limb, cylinder.point),
            direction: dot(lateral, frame.z) >= 0 ? unit(lateral) : unit(scale(lateral, -1)),
            radiusMm: cylinder.radiusMm,
            rmsMm: cylinder.rmsMm,
          },
    distalShaft: shafts.distal,
    ...(cutMm < leastShaftMm ? { shaftUnclear: endsShort(cutMm) } : {}),
    ...(Number.isFinite(cutMm)
      ? { shaftTiltDeg: Math.max(leastTiltDeg, 3.3 - (cutMm - leastShaftMm) * tiltPerMm) }
      : {}),
    shaft: shafts.whole,
    truncated: s.hip === null,
    epicondyleCaps: {
      medialPerMm: reading.epicondyles.medial.sharpnessPerMm,
      lateralPerMm: reading.epicondyles.lateral.sharpnessPerMm,
    },
  })
}

/** On two real femora cut at 70 and 80 mm, points found about the axis of what was left lay 3 to 9 mm off. */
const onShort = 0.5
const endsTooSoon = (mm: number): string =>
  `The scan ends ${mm.toFixed(0)} mm above the joint: the axis of so short a piece may lie 10° off, and this point with it. Look, and set it by hand or give the hip centre.`

const bothOf = (a: string | null, b: string | null): string | null => (a && b ? `${a} ${b}` : (a ?? b))

/** Whether something too narrow for a condyle was left out on this side of a bridge. */
function besideLeftOut({ medial, lateral, leftOut = [] }: Bridge, side: 'medial' | 'lateral'): boolean {
  const nearerMedial = (q: Vec3): boolean => Math.abs(q[2] - medial[2]) < Math.abs(q[2] - lateral[2])
  return leftOut.some((q) => nearerMedial(q) === (side === 'medial'))
}

/** Without the piece some of these bumps still turned the tangent by a degree. */
const besideNarrow = 0.6
const narrowPiece =
  'A narrow piece, perhaps an osteophyte, stands out further than the condyle here and was left out: look.'
/** Bumps of 4 to 12 mm on the roofs of six real femora moved the knee centre by up to 6.6 mm. */
const besideBentRoof = 0.5
const bentRoof =
  'The roof of the notch is uneven here, perhaps by an osteophyte: the knee centre may lie some millimetres off. Look, and set it by hand.'
const margin = 'The side stands out most at the joint margin, where osteophytes grow: look, and set it by hand.'
const spikePerMm = 1 / 6
const spike = 'A narrow spike stands out furthest here, perhaps an osteophyte: look, and set it by hand.'
const flatDome = 'The side is a flat dome here: its highest point may lie some millimetres away.'

/**
 * A scan that ends nearer to the joint shows the flare of the condyles and little shaft: on four femora cut at 50…80 mm the axis of what
 * is left lay 4° to 23° off that of the whole bone's distal shaft, from 100 mm on under 4°.
 */
const leastShaftMm = 95
/**
 * Per direction, RMS over four real and four made femora: 3.3° where the scan ends 96 mm above the joint, 1.7° at 130 and 0.5° from 180 on;
 * the anterior ridge, without the whole bone's L, leaves PDFA 1.5° off even then.
 */
const tiltPerMm = 0.04
const leastTiltDeg = 1.5
const endsShort = (mm: number): string =>
  `The scan ends ${mm.toFixed(0)} mm above the joint: too short for the direction of the shaft.`

/** The distal and the whole shaft axis; on a truncated bone both are that of the shaft there is. */
function shaftsOf(
  bone: BoneMesh,
  s: Situation,
  limb: LimbFrame,
  length: number,
): { readonly distal: Axis; readonly whole: Axis } | null {
  const cut = s.cutAbove(limb.origin, limb.proximal)
  if (cut < 0.8 * length) {
    const reach = (share: number) => Math.min(share * length, cut - 3)
    const axis = (from: number, to: number) =>
      availableShaft(bone, limb, Math.min(from * length, 0.6 * cut), reach(to), s.standIn)
    return { distal: axis(0.2, 0.45), whole: axis(0.2, 0.8) }
  }
  const whole = shaftAxis(bone, limb.origin, limb.proximal, 0.2 * length, 0.8 * length)
  const distal = shaftAxis(bone, limb.origin, limb.proximal, 0.2 * length, 0.45 * length)
  return whole && distal ? { distal: axisOf(distal), whole: axisOf(whole) } : null
}

const axisOf = ({ point, direction }: Axis): Axis => ({ point, direction })

const wornHead = ({ coverage, rmsMm }: HeadSphere): string =>
  `The head covers ${(100 * coverage).toFixed(0)} % of its sphere and leaves ${rmsMm.toFixed(1)} mm: it may be worn or misshapen, and its centre off. Look, or give the hip centre.`

/** High where the sphere leaves little over and covers as much as a head does. */
function headConfidence(head: HeadSphere): number {
  const residual = head.rmsMm / head.radiusMm
  return Math.min(1, 1.15 - 8 * residual) * Math.min(1, head.coverage / 0.45)
}
