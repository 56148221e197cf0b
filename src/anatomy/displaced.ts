import { frameFromLongAndAnterior, frameFromLongAndRight } from '../geometry/rigid.ts'
import { add, addScaled, distance, midpoint, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import type { Axis, Landmark, PlateauPatch, TibiaAnatomy } from './terms.ts'
import { type FemurAnatomy, type LandmarkId, type Landmarks, type References, sideFactor } from './terms.ts'

/**
 * Displacements of landmarks, mm, in the patient frame of their bone; `patchMedial` and `patchLateral` are added to the unit
 * normal of that plateau's patch, `cutShaft` to the unit direction of a shaft that the scan cuts off.
 */
export type Displacements = Readonly<Partial<Record<LandmarkId | DirectionId, Vec3>>>
export type DirectionId = 'patchMedial' | 'patchLateral' | 'cutShaft'

/**
 * The femur as it would be read with its landmarks displaced: the long axis through the moved centres, the medio-lateral
 * reference turned as its two ends move. Displacements of landmarks that are not there change nothing.
 */
export function displacedFemur(femur: FemurAnatomy, by: Displacements, references: References): FemurAnatomy {
  const { frame, landmarks } = femur
  const hip = landmarks.hipCentre?.mm
  const ends =
    references.femoralMedioLateral === 'epicondylar'
      ? (['epicondyleMedial', 'epicondyleLateral'] as const)
      : (['condylePosteriorMedial', 'condylePosteriorLateral'] as const)
  const [medial, lateral] = ends.map((id) => landmarks[id]?.mm)
  const origin = add(
    frame.origin,
    kneeBetweenEpicondyles(landmarks, references)
      ? midpoint(by.epicondyleMedial ?? zero, by.epicondyleLateral ?? zero)
      : (by.femoralKneeCentre ?? zero),
  )
  const long = hip && !femur.truncated ? sub(moved(hip, by.hipCentre), origin) : frame.y
  const spread = medial && lateral ? distance(medial, lateral) : usualSpreadMm
  const turn = sub(by[ends[1]] ?? zero, by[ends[0]] ?? zero)
  return {
    ...femur,
    ...displacedNeck(femur, by.hipCentre),
    landmarks: displaced(landmarks, by),
    distalShaft: tilted(femur.distalShaft, by.cutShaft),
    frame: frameFromLongAndRight(origin, long, addScaled(frame.z, turn, sideFactor(femur.side) / spread)),
  }
}

/** The tibia as it would be read with its landmarks displaced. */
export function displacedTibia(tibia: TibiaAnatomy, by: Displacements, references: References): TibiaAnatomy {
  const { frame, landmarks, medial, lateral } = tibia
  const [ankle, notch, tubercle] = [
    landmarks.ankleCentre?.mm,
    landmarks.posteriorNotch?.mm,
    landmarks.tubercleMedialThird?.mm,
  ]
  const origin = add(
    frame.origin,
    kneeBetweenPlateaus(landmarks, references)
      ? midpoint(by.plateauMedial ?? zero, by.plateauLateral ?? zero)
      : (by.tibialKneeCentre ?? zero),
  )
  const foot = ankleBetweenMalleoli(landmarks, references)
    ? midpoint(by.malleolusMedial ?? zero, by.malleolusLateral ?? zero)
    : by.ankleCentre
  const long = ankle && !tibia.truncated ? sub(origin, moved(ankle, foot)) : frame.y
  const reach = notch && tubercle ? distance(notch, tubercle) : usualSpreadMm
  // Other references hang on the same back and front of the tibia, as far as landmarks tell.
  const turn = sub(by.tubercleMedialThird ?? zero, by.posteriorNotch ?? zero)
  return {
    ...tibia,
    landmarks: displaced(landmarks, by),
    frame: frameFromLongAndAnterior(origin, long, addScaled(frame.x, turn, 1 / reach)),
    proximalShaft: tilted(tibia.proximalShaft, by.cutShaft),
    medial: displacedPatch(medial, by.plateauMedial, by.patchMedial),
    lateral: displacedPatch(lateral, by.plateauLateral, by.patchLateral),
  }
}

/** The knee centre in use is the middle of the epicondyles and moves with them. */
export const kneeBetweenEpicondyles = (landmarks: Landmarks, { femoralKneeCentre }: References): boolean =>
  femoralKneeCentre === 'epicondyles' && landmarks.femoralKneeCentre?.source === 'found'

/** The knee centre in use is the middle of the plateau points and moves with them. */
export const kneeBetweenPlateaus = (landmarks: Landmarks, { tibialKneeCentre }: References): boolean =>
  tibialKneeCentre === 'plateaus' && landmarks.tibialKneeCentre?.source === 'found'

/** The ankle centre in use is the middle of the malleoli and moves with them. */
export const ankleBetweenMalleoli = (landmarks: Landmarks, { ankleCentre }: References): boolean =>
  ankleCentre === 'malleoli' && landmarks.ankleCentre?.source === 'found' && landmarks.malleolusLateral !== undefined

/** Between two reference points that are not there, mm; only their displacement would need it. */
const usualSpreadMm = 45

/** The neck’s sections stay while the head centre moves; they lie about 1.24 head radii from it. */
function displacedNeck({ shape, head }: FemurAnatomy, hip: Vec3 | undefined): Pick<FemurAnatomy, 'shape'> {
  if (!shape?.neck || !head || !hip) return {}
  return { shape: { ...shape, neck: unit(sub(scale(shape.neck, 1.24 * head.radiusMm), hip)) } }
}

const zero: Vec3 = [0, 0, 0]
const moved = (p: Vec3, by: Vec3 | undefined): Vec3 => (by ? add(p, by) : p)

const tilted = (axis: Axis, by: Vec3 | undefined): Axis =>
  by ? { point: axis.point, direction: unit(add(axis.direction, by)) } : axis

function displacedPatch(patch: PlateauPatch, point: Vec3 | undefined, normal: Vec3 | undefined): PlateauPatch {
  if (!point && !normal) return patch
  return {
    ...patch,
    point: moved(patch.point, point),
    normal: normal ? unit(add(patch.normal, normal)) : patch.normal,
  }
}

/** Thousands of draws are made of this: members by name are many times faster than a spread. */
function withPlace({ confidence, residualMm, sdMm, source, reason }: Landmark, mm: Vec3): Landmark {
  return { mm, confidence, residualMm, sdMm, source, reason }
}

function displaced(landmarks: Landmarks, by: Displacements): Landmarks {
  const out: Record<string, unknown> = { ...landmarks }
  for (const [id, d] of Object.entries(by)) {
    const known = landmarks[id as LandmarkId]
    if (known && d) out[id] = withPlace(known, add(known.mm, d))
  }
  return out as Landmarks
}
