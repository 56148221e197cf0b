import type { FemurAnatomy, LandmarkId, Landmarks, TibiaAnatomy } from '../anatomy/terms.ts'
import { frameFromLongAndAnterior, frameFromLongAndRight } from '../geometry/rigid.ts'
import { add, addScaled, distance, sub, type Vec3 } from '../geometry/vec.ts'

/** Displacements of landmarks, mm, in the patient frame of their bone. */
export type Displacements = Readonly<Partial<Record<LandmarkId, Vec3>>>

/** Femoral landmarks a plan hangs on. */
export const femoralLandmarks = [
  'hipCentre',
  'femoralKneeCentre',
  'condylePosteriorMedial',
  'condylePosteriorLateral',
] as const satisfies readonly LandmarkId[]

/** Tibial landmarks a plan hangs on. */
export const tibialLandmarks = [
  'tibialKneeCentre',
  'ankleCentre',
  'posteriorNotch',
  'tubercleMedialThird',
  'plateauMedial',
  'plateauLateral',
] as const satisfies readonly LandmarkId[]

/** The femur as it would be read with its landmarks displaced: the long axis through the moved centres, the medio-lateral reference turned as the condylar line turns. */
export function displacedFemur(femur: FemurAnatomy, by: Displacements): FemurAnatomy {
  const { frame, landmarks } = femur
  const [hip, medial, lateral] = [
    landmarks.hipCentre?.mm,
    landmarks.condylePosteriorMedial?.mm,
    landmarks.condylePosteriorLateral?.mm,
  ]
  const origin = moved(frame.origin, by.femoralKneeCentre)
  const long = hip ? sub(moved(hip, by.hipCentre), origin) : frame.y
  const spread = medial && lateral ? distance(medial, lateral) : 45
  const turn = sub(by.condylePosteriorLateral ?? zero, by.condylePosteriorMedial ?? zero)
  const outward = femur.side === 'right' ? 1 : -1
  return {
    ...femur,
    landmarks: displaced(landmarks, by),
    frame: frameFromLongAndRight(origin, long, addScaled(frame.z, turn, outward / spread)),
  }
}

/** The tibia as it would be read with its landmarks displaced. */
export function displacedTibia(tibia: TibiaAnatomy, by: Displacements): TibiaAnatomy {
  const { frame, landmarks, medial, lateral } = tibia
  const [ankle, notch, tubercle] = [
    landmarks.ankleCentre?.mm,
    landmarks.posteriorNotch?.mm,
    landmarks.tubercleMedialThird?.mm,
  ]
  const origin = moved(frame.origin, by.tibialKneeCentre)
  const long = ankle ? sub(origin, moved(ankle, by.ankleCentre)) : frame.y
  const reach = notch && tubercle ? distance(notch, tubercle) : 50
  const turn = sub(by.tubercleMedialThird ?? zero, by.posteriorNotch ?? zero)
  return {
    ...tibia,
    landmarks: displaced(landmarks, by),
    frame: frameFromLongAndAnterior(origin, long, addScaled(frame.x, turn, 1 / reach)),
    medial: { ...medial, point: moved(medial.point, by.plateauMedial) },
    lateral: { ...lateral, point: moved(lateral.point, by.plateauLateral) },
  }
}

const zero: Vec3 = [0, 0, 0]
const moved = (p: Vec3, by: Vec3 | undefined): Vec3 => (by ? add(p, by) : p)

function displaced(landmarks: Landmarks, by: Displacements): Landmarks {
  const out: Record<string, unknown> = { ...landmarks }
  for (const [id, d] of Object.entries(by)) {
    const known = landmarks[id as LandmarkId]
    if (known && d) out[id] = { ...known, mm: add(known.mm, d) }
  }
  return out as Landmarks
}
