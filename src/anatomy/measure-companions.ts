import { type Failure, fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Mesh } from '../geometry/mesh.ts'
import {
  angleBetween,
  anyPerpendicular,
  cross,
  distance,
  dot,
  scale,
  sub,
  toDeg,
  unit,
  type Vec3,
} from '../geometry/vec.ts'
import { chanceAt } from './away-from-found.ts'
import type { Doubt } from './beyond-scan.ts'
import { type CalmBone, calmBone, type Grain } from './calm-surface.ts'
import { sureFrom } from './confidence-word.ts'
import { refineCrest } from './crest.ts'
import { cutFace, shareOfSection } from './cut-face.ts'
import { findHead } from './find-head.ts'
import { defaultSdMm } from './landmark-sd.ts'
import { type LimbFrame, limbFromAnterior, limbOfFrame, meshIntoLimb, outOfLimb } from './limb.ts'
import { readAnkle } from './read-ankle.ts'
import { distalEnd, partWords } from './recognise-companion.ts'
import type {
  CompanionName,
  FemurAnatomy,
  FromCompanion,
  LandmarkId,
  LandmarkOverride,
  LandmarkOverrides,
  TibiaAnatomy,
} from './terms.ts'

/** A companion file, in mm and in the frame of the knee's file. */
export interface Companion {
  readonly part: CompanionName
  readonly file: FromCompanion['file']
  readonly bone: BoneMesh
}

/** The knee ends as they were read; null where one is not open. */
export interface KneeEnds {
  readonly femur: FemurAnatomy | null
  readonly tibia: TibiaAnatomy | null
}

export interface MeasuredCompanions {
  readonly landmarks: LandmarkOverrides
  /** Files that could not be used, each with its reason. */
  readonly failures: readonly Failure[]
}

/**
 * The landmarks that companion files give: the hip centre of a femoral head, ankle centre and medial malleolus of a distal
 * tibia, the lateral malleolus of a fibula. Coordinates are those of the files, which must be the knee files' own (femur for
 * the head, tibia for the others): what lies too near, too far or beside the bone's axis is refused as `anatomy/other-frame`.
 * A file in which the part is not found is `anatomy/not-this-part`.
 */
export function measureCompanions(companions: readonly Companion[], knee: KneeEnds): MeasuredCompanions {
  const landmarks: Partial<Record<LandmarkId, LandmarkOverride>> = {}
  const failures: Failure[] = []
  // The ankle first: the fibula's tip is the farthest along the axis that it makes.
  for (const part of ['femoral-head', 'distal-tibia', 'fibula'] as const)
    for (const companion of companions.filter((c) => c.part === part)) {
      const found = measured(companion, knee, landmarks.ankleCentre?.mm ?? null)
      if (found.ok) Object.assign(landmarks, found.value)
      else failures.push({ ...found.failure, place: companion.file.name })
    }
  return { landmarks, failures }
}

function measured(companion: Companion, knee: KneeEnds, ankle: Vec3 | null): Result<LandmarkOverrides> {
  const calm = calmBone(companion.bone)
  switch (companion.part) {
    case 'femoral-head':
      return hipOf(companion, calm, knee.femur)
    case 'distal-tibia':
      return ankleOf(companion, calm, knee.tibia)
    case 'fibula':
      return lateralMalleolusOf(companion, calm, knee.tibia, ankle)
  }
}

const given = (mm: Vec3, { part, file }: Companion, seen: Omit<FromCompanion, 'part' | 'file'>): LandmarkOverride => ({
  mm,
  source: 'given',
  from: { part, file, ...seen },
})

/** How far a joint centre may lie from the knee centre, mm, and off the bone's axis (a short stump shows its axis badly), degrees. */
const reachMm = { femur: [300, 560], tibia: [240, 480] } as const
const mostOffAxisDeg = 30

function hipOf(companion: Companion, { bone }: CalmBone, femur: FemurAnatomy | null): Result<LandmarkOverrides> {
  const head = findHead(bone.mesh)
  if (head === null) return notThisPart(companion, 'no sphere of a femoral head’s size lies on it')
  const misplaced = femur && offAxis(head.centre, femur.frame.origin, femur.frame.y, reachMm.femur)
  if (misplaced) return otherFrame(companion, 'hip centre', 'femur', misplaced)
  const residual = head.rmsMm / head.radiusMm
  const confidence = Math.max(0, Math.min(1, 1.15 - 8 * residual) * Math.min(1, head.coverage / 0.45))
  const poor = confidence < 0.75 ? 'The head’s surface covers little of its sphere, or leaves much over.' : null
  const { centre, radiusMm, rmsMm: residualMm } = head
  const own = femur?.head?.centre ?? null
  const second = besideOwn('hipCentre', centre, own, 'The femur’s own file shows its head too')
  const seen = { residualMm, radiusMm, confidence, reason: poor }
  return ok({ hipCentre: given(centre, companion, underDoubts(seen, [second, femur && ofOtherKnee(radiusMm, femur)])) })
}

/** What a file says of its landmark under the worst of what speaks against it. */
function underDoubts<T extends { readonly confidence: number; readonly reason: string | null }>(
  seen: T,
  doubts: readonly (Doubt | null)[],
): T {
  let { confidence, reason } = seen
  for (const doubt of doubts)
    if (doubt && (doubt.confidence < confidence || reason === null)) {
      confidence = Math.min(confidence, doubt.confidence)
      reason = doubt.reason
    }
  return { ...seen, confidence, reason }
}

/** What speaks for or against a centre that the bone's own file shows as well; null where it does not. */
function besideOwn(id: LandmarkId, point: Vec3, own: Vec3 | null, words: string): Doubt | null {
  if (own === null) return null
  const mm = distance(point, own)
  return { reason: `${words}, ${mm.toFixed(1)} mm away.`, confidence: chanceAt(mm, defaultSdMm[id].sdMm) }
}

/** Diameter of a head over the distance of its knee's epicondyles: 0.52 to 0.59 on four real and twelve synthetic femurs. */
const headOverKnee = { mean: 0.555, sd: 0.03 } as const

/** Why a head belongs to another knee than this one, by its size; null where it may be its own. */
function ofOtherKnee(radiusMm: number, { landmarks }: FemurAnatomy): Doubt | null {
  const [p, q] = [landmarks.epicondyleMedial?.mm, landmarks.epicondyleLateral?.mm]
  if (!p || !q) return null
  const ratio = (2 * radiusMm) / distance(p, q)
  const confidence = chanceAt(Math.abs(ratio - headOverKnee.mean) / headOverKnee.sd, 1)
  const which = ratio > headOverKnee.mean ? 'large' : 'small'
  return confidence < sureFrom
    ? { confidence, reason: `The head is too ${which} for this knee: it may be another leg’s.` }
    : null
}

/** Why an ankle's tip belongs to another leg: it stands on the wrong side of the ankle centre (mm, patient frame); null where it does not. */
function onOtherSide(tip: Vec3, ankle: Vec3, tibia: TibiaAnatomy, malleolus: 'medial' | 'lateral'): Doubt | null {
  if (tibia.sideUnclear) return null
  const { lateral } = limbOfFrame(tibia.frame, tibia.side)
  const out = dot(sub(tip, ankle), malleolus === 'lateral' ? lateral : scale(lateral, -1))
  return out < 0
    ? {
        confidence: otherLeg,
        reason: `The ${malleolus} malleolus lies on the other side of the ankle: it may be another leg’s.`,
      }
    : null
}
const otherLeg = 0.2

/** A tibia’s length where no knee tells it, mm (check values §10). */
const assumedLengthMm = 370
const mostRounds = 12

function ankleOf(companion: Companion, calm: CalmBone, tibia: TibiaAnatomy | null): Result<LandmarkOverrides> {
  const { bone } = calm
  const grain = grainOfEnd(calm.grain)
  const end = distalEnd(bone)
  const knee = tibia?.frame.origin ?? null
  const start = knee ? unit(sub(knee, bone.centroid)) : (end?.proximal ?? null)
  if (start === null)
    return notThisPart(companion, 'it shows no cut end to tell its direction by, and no tibia is open')
  let limb = limbAlong(start, bone.centroid, tibia)
  for (let round = 0; ; round++) {
    const level = knee ? dot(sub(knee, limb.origin), limb.proximal) : assumedLengthMm
    const ankle = readAnkle(meshIntoLimb(bone.mesh, limb), level, { stepMm: 0.5, rounds: 60, grain })
    if (ankle === null) return notThisPart(companion, 'no joint surface faces down on it')
    const [centre, tip] = [outOfLimb(limb, ankle.plafond.point), outOfLimb(limb, ankle.malleolus)]
    const next = knee ? unit(sub(knee, centre)) : limb.proximal
    const moved = distance(next, limb.proximal)
    if (moved > 1e-7 && round < mostRounds) {
      limb = limbAlong(next, bone.centroid, tibia)
      continue
    }
    const misplaced = tibia && offAxis(centre, tibia.frame.origin, scale(tibia.frame.y, -1), reachMm.tibia)
    if (misplaced) return otherFrame(companion, 'ankle centre', 'tibia', misplaced)
    const alone = knee ? null : 'The tibia was not open: the file’s own shaft told the long axis.'
    const doubtful = end !== null && end.votes <= 0 ? 'By its shape this may not be the distal end of a tibia.' : null
    const own = tibia?.otherwise?.plafond ?? null
    const second = besideOwn('ankleCentre', centre, own, 'The tibia’s own file shows its ankle too')
    const other = tibia && onOtherSide(tip, centre, tibia, 'medial')
    const fit = { confidence: doubtful ? 0.3 : alone ? 0.6 : 0.9, reason: doubtful ?? alone, radiusMm: null }
    const seen = underDoubts(fit, [second, other])
    return ok({
      ankleCentre: given(centre, companion, { ...seen, residualMm: ankle.plafond.rmsMm }),
      malleolusMedial: given(tip, companion, { ...seen, residualMm: null }),
    })
  }
}

/**
 * Half of a joint's end is curved surface, which passes for noise where noise is told over a whole bone: what is not rough enough
 * to have been smoothed is looked at as finely as a clean bone.
 */
const grainOfEnd = (grain: Grain): Grain =>
  grain.contactMm > 4 ? grain : { contactMm: 4, tipMm: 2.5, slopeMm: 1, dropMm: 4 }

/** Directions of which only the long one matters, but for the grid that is laid along the others: the tibia's own where it is known. */
function limbAlong(proximal: Vec3, origin: Vec3, tibia: TibiaAnatomy | null): LimbFrame {
  if (tibia) {
    const { anterior, lateral, origin: knee } = limbOfFrame(tibia.frame, tibia.side)
    return limbFromAnterior(knee, proximal, anterior, lateral)
  }
  const lateral = anyPerpendicular(proximal)
  return { origin, proximal, lateral, anterior: cross(proximal, lateral) }
}

/** The tip of the lateral malleolus from the ankle centre, mm (common practice, no source). */
const tipFromAnkleMm = [12, 60] as const
/** A tip this near to a cut face is the cut's edge, mm. */
const cutEdgeMm = 4
/** A cut face is about as large as the section that far behind it. */
const leastCutShare = 0.6

function lateralMalleolusOf(
  companion: Companion,
  { bone, grain }: CalmBone,
  tibia: TibiaAnatomy | null,
  fromFile: Vec3 | null,
): Result<LandmarkOverrides> {
  if (tibia === null)
    return fail('landmark/missing', 'A fibula tells the lateral malleolus only beside its tibia.', {
      hint: 'Open the tibia first.',
    })
  const { origin, y } = tibia.frame
  const ankle = fromFile ?? (tibia.truncated ? null : tibia.landmarks.ankleCentre?.mm) ?? null
  const proximal = ankle ? unit(sub(origin, ankle)) : y
  const limb = limbAlong(proximal, bone.centroid, tibia)
  const mesh = meshIntoLimb(bone.mesh, limb)
  const lowest = lowestCorner(mesh)
  const flat = cutFace(bone.mesh, bone)
  // A blunt tip is flat as well, and the bone behind it wider.
  const cut = flat && shareOfSection(bone, flat, cutEdgeMm) > leastCutShare ? flat : null
  const fromCut = cut === null ? Number.POSITIVE_INFINITY : dot(sub(outOfLimb(limb, lowest), cut.point), cut.normal)
  if (cut !== null && Math.abs(fromCut) < cutEdgeMm && dot(cut.normal, proximal) < 0)
    return notThisPart(companion, 'it is cut off above the tip of the lateral malleolus')
  const reach = Math.max(2.5, grain.contactMm / 2)
  const tip = outOfLimb(limb, refineCrest(mesh, lowest, { up: 1, sense: -1, radiusMm: reach }))
  const misplaced = offAxis(tip, origin, scale(proximal, -1), [reachMm.tibia[0], reachMm.tibia[1] + 30])
  if (misplaced) return otherFrame(companion, 'lateral malleolus', 'tibia', misplaced)
  const apart = ankle && distance(tip, ankle)
  if (apart !== null && !(apart >= tipFromAnkleMm[0] && apart <= tipFromAnkleMm[1]))
    return otherFrame(companion, 'lateral malleolus', 'tibia', `${apart.toFixed(0)} mm from the ankle centre`)
  const reason = ankle ? null : 'Without an ankle centre the shaft tells which way is down.'
  const seen = { residualMm: null, confidence: ankle ? 0.9 : 0.6, reason, radiusMm: null }
  const other = ankle && onOtherSide(tip, ankle, tibia, 'lateral')
  return ok({ malleolusLateral: given(tip, companion, underDoubts(seen, [other])) })
}

function lowestCorner({ positions: p }: Mesh): Vec3 {
  let at = 0
  for (let i = 0; i < p.length; i += 3) if (p[i + 1]! < p[at + 1]!) at = i
  return [p[at]!, p[at + 1]!, p[at + 2]!]
}

/** Where a point lies against a knee centre and the axis that should lead to it, if that cannot be; else null. */
function offAxis(point: Vec3, knee: Vec3, axis: Vec3, [low, high]: readonly [number, number]): string | null {
  const mm = distance(point, knee)
  const deg = toDeg(angleBetween(sub(point, knee), axis))
  if (!(mm >= low && mm <= high))
    return `${mm.toFixed(0)} mm from the knee centre, where ${low} to ${high} mm are usual`
  return deg > mostOffAxisDeg ? `${deg.toFixed(0)}° off the bone’s axis` : null
}

const notThisPart = ({ part, file }: Companion, why: string) =>
  fail('anatomy/not-this-part', `${file.name} is not used as ${partWords[part]}: ${why}.`, {
    hint: 'Say what the file is, or give the point by its coordinates.',
  })

const otherFrame = ({ file }: Companion, what: string, bone: string, where: string) =>
  fail('anatomy/other-frame', `${file.name} does not lie in the ${bone} file’s frame: its ${what} would be ${where}.`, {
    hint: 'Export both from the same scan, or leave this file out.',
  })
