import { type Frame, intoFrame, mapVector, outOfFrame } from '../geometry/rigid.ts'
import { midpoint, scale, sub, toDeg, type Vec3 } from '../geometry/vec.ts'
import {
  type FemurAnatomy,
  type LandmarkId,
  type Landmarks,
  type References,
  type Side,
  sideFactor,
  type TibiaAnatomy,
} from './terms.ts'

/**
 * Anteversion of the femoral neck: its axis (head centre and centroids of sections across the neck) against the posterior condylar
 * line (or another line of the knee), seen along the mechanical axis; head ahead positive, degrees. Null when head, neck or the
 * line is missing.
 */
export function anteversionDeg(
  { frame, side, landmarks, shape, truncated, condylarCylinder }: FemurAnatomy,
  against: References['femoralMedioLateral'] = 'posterior-condylar',
): number | null {
  const cylinder = condylarCylinder && scale(condylarCylinder.direction, -sideFactor(side))
  const condyles =
    against === 'posterior-condylar'
      ? lineBetween(landmarks, 'condylePosteriorLateral', 'condylePosteriorMedial')
      : against === 'epicondylar'
        ? lineBetween(landmarks, 'epicondyleLateral', 'epicondyleMedial')
        : cylinder
  if (!(condyles && shape?.neck) || truncated) return null
  return toDeg(wrapped(ahead(frame, scale(shape.neck, -1), side) - ahead(frame, condyles, side)))
}

/**
 * Torsion of a tibia: its malleolar line against the line of its two plateau points, seen along the mechanical axis; the lateral end
 * farther back positive (external), degrees. Without a lateral malleolus the line from the tip of the medial malleolus through
 * the middle of the plafond stands in. Null when a point is missing.
 */
export const tibialTorsionDeg = (tibia: TibiaAnatomy): number | null =>
  torsionAgainst(tibia, sub(tibia.lateral.point, tibia.medial.point))

/** The same against the tangent behind the tibial condyles; null also where it was not read. */
export function torsionFromBehindDeg(tibia: TibiaAnatomy): number | null {
  const forward = tibia.otherwise?.posteriorTangentForward
  if (!forward) return null
  const { frame, side } = tibia
  const f = mapVector(intoFrame(frame), forward)
  // A quarter turn in the axial plane brings forward to lateral.
  const s = sideFactor(side)
  return torsionAgainst(tibia, mapVector(outOfFrame(frame), [-s * f[2], 0, s * f[0]]))
}

function torsionAgainst({ frame, side, landmarks, truncated }: TibiaAnatomy, line: Vec3): number | null {
  const tip = landmarks.malleolusMedial?.mm
  const outer = landmarks.malleolusLateral?.mm ?? landmarks.ankleCentre?.mm
  if (!(tip && outer) || truncated) return null
  const back = (line: Vec3) => {
    const d = mapVector(intoFrame(frame), line)
    return Math.atan2(-d[0], sideFactor(side) * d[2])
  }
  return toDeg(wrapped(back(sub(outer, tip)) - back(line)))
}

/**
 * Posterior distal femoral angle of our own definition: between the distal shaft axis and the line from the foremost point of the
 * trochlear ridges to the middle of the posterior condyle contacts, in the femoral sagittal plane, measured behind; degrees. The
 * line of the radiograph joins the ends of the joint surface and is another one. `along` (patient frame, proximally) stands in for the
 * distal shaft axis where another is asked for. Null when a point is missing, or the shaft is too short to have an axis.
 */
export function posteriorDistalFemoralDeg(
  { frame, landmarks, shape, distalShaft, shaftUnclear }: FemurAnatomy,
  along: Vec3 | null = shaftUnclear ? null : distalShaft.direction,
): number | null {
  const medial = landmarks.condylePosteriorMedial?.mm
  const lateral = landmarks.condylePosteriorLateral?.mm
  if (!(medial && lateral && shape?.anteriorRidge && along)) return null
  const into = intoFrame(frame)
  const back = mapVector(into, sub(midpoint(medial, lateral), shape.anteriorRidge))
  const up = mapVector(into, along)
  return toDeg(wrapped(Math.atan2(back[1], back[0]) - Math.atan2(up[1], up[0])))
}

/** Turn of a medially pointing direction towards the front, in the axial plane, radians. */
function ahead(frame: Frame, direction: Vec3, side: Side): number {
  const d = mapVector(intoFrame(frame), direction)
  return Math.atan2(d[0], -sideFactor(side) * d[2])
}

const wrapped = (radians: number): number => Math.atan2(Math.sin(radians), Math.cos(radians))

function lineBetween(landmarks: Landmarks, from: LandmarkId, to: LandmarkId): Vec3 | null {
  const a = landmarks[from]
  const b = landmarks[to]
  return a && b ? sub(b.mm, a.mm) : null
}
