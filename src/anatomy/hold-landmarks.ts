import { midpoint, sub, type Vec3 } from '../geometry/vec.ts'
import { awayFromFound } from './away-from-found.ts'
import { judgedOverride } from './judge-override.ts'
import { orOverride } from './landmark.ts'
import { frameOfLimb, limbFromAnterior, limbFromLateral, limbOfFrame } from './limb.ts'
import type {
  FemurAnatomy,
  Landmark,
  LandmarkId,
  LandmarkOverrides,
  Landmarks,
  References,
  TibiaAnatomy,
} from './terms.ts'

/**
 * The femur while landmarks are moved by hand: every landmark not set stays where it was found, and the frame follows by the
 * same definitions. Nothing is read from the surface again, so it follows the hand; the finder, which looks afresh in the
 * moved frame, has the last word. Points in the patient frame, mm.
 */
export function holdFemur(femur: FemurAnatomy, overrides: LandmarkOverrides, references: References): FemurAnatomy {
  const landmarks = moved(femur, femur.landmarks, overrides)
  const at = (id: LandmarkId): Vec3 | null => landmarks[id]?.mm ?? null
  const across = (medial: LandmarkId, lateral: LandmarkId) => between(at(medial), at(lateral))
  const epicondyles = across('epicondyleMedial', 'epicondyleLateral')
  const knee =
    overrides.femoralKneeCentre?.mm ??
    (references.femoralKneeCentre === 'notch' ? at('notchCentre') : epicondyles?.middle) ??
    femur.frame.origin
  const line =
    references.femoralMedioLateral === 'epicondylar'
      ? epicondyles?.along
      : references.femoralMedioLateral === 'posterior-condylar'
        ? across('condylePosteriorMedial', 'condylePosteriorLateral')?.along
        : femur.condylarCylinder?.direction
  const limb = limbOfFrame(femur.frame, femur.side)
  const hip = at('hipCentre')
  const turned = limbFromLateral(
    knee,
    hip ? sub(hip, knee) : limb.proximal,
    sameWay(line ?? limb.lateral, limb.lateral),
    limb.anterior,
  )
  return { ...femur, landmarks: withCentre(landmarks, 'femoralKneeCentre', knee), frame: frameOfLimb(turned) }
}

/** The same for the tibia; with the femoral reference its anterior is that of `femur`. */
export function holdTibia(
  tibia: TibiaAnatomy,
  overrides: LandmarkOverrides,
  references: References,
  femur: FemurAnatomy,
): TibiaAnatomy {
  const landmarks = moved(tibia, withPlateauPoints(tibia, references), overrides)
  const at = (id: LandmarkId): Vec3 | null => landmarks[id]?.mm ?? null
  const plateaus = between(at('plateauMedial'), at('plateauLateral'))?.middle
  const knee =
    overrides.tibialKneeCentre?.mm ??
    (references.tibialKneeCentre === 'spines' ? at('spinesCentre') : plateaus) ??
    tibia.frame.origin
  const limb = limbOfFrame(tibia.frame, tibia.side)
  const anterior =
    references.tibialAnterior === 'femoral'
      ? femur.frame.x
      : references.tibialAnterior === 'pcl-tubercle'
        ? between(at('posteriorNotch'), at('tubercleMedialThird'))?.along
        : (tibia.otherwise?.posteriorTangentForward ?? limb.anterior)
  const byHand = overrides.ankleCentre !== undefined && overrides.ankleCentre.from === undefined
  const malleoli = references.ankleCentre === 'malleoli' && !byHand
  const middle = malleoli ? between(at('malleolusMedial'), at('malleolusLateral'))?.middle : null
  const plafond = malleoli || byHand ? null : (tibia.otherwise?.plafond ?? null)
  const ankle = middle ?? plafond ?? at('ankleCentre')
  const turned = limbFromAnterior(
    knee,
    ankle ? sub(knee, ankle) : limb.proximal,
    anterior ?? limb.anterior,
    limb.lateral,
  )
  const centred = withCentre(landmarks, 'tibialKneeCentre', knee)
  return {
    ...tibia,
    landmarks: ankle ? withCentre(centred, 'ankleCentre', ankle) : centred,
    frame: frameOfLimb(turned),
    medial: { ...tibia.medial, point: at('plateauMedial') ?? tibia.medial.point },
    lateral: { ...tibia.lateral, point: at('plateauLateral') ?? tibia.lateral.point },
  }
}

/** The plateau points of the definition in use, where they were found. */
function withPlateauPoints({ landmarks, otherwise }: TibiaAnatomy, { plateauPoint }: References): Landmarks {
  const points = plateauPoint === 'deepest' ? otherwise?.deepest : otherwise?.centroids
  const at = (landmark: Landmark | undefined, mm: Vec3) => landmark && { ...landmark, mm }
  if (!points) return landmarks
  const medial = at(landmarks.plateauMedial, points.medial)
  const lateral = at(landmarks.plateauLateral, points.lateral)
  return {
    ...landmarks,
    ...(medial && landmarks.plateauMedial?.source === 'found' ? { plateauMedial: medial } : {}),
    ...(lateral && landmarks.plateauLateral?.source === 'found' ? { plateauLateral: lateral } : {}),
  }
}

function moved(bone: FemurAnatomy | TibiaAnatomy, landmarks: Landmarks, overrides: LandmarkOverrides): Landmarks {
  const entries = (Object.entries(landmarks) as [LandmarkId, Landmark][]).map(([id, known]) => {
    const mark = orOverride(id, known, overrides)
    if (mark === null || overrides[id] === undefined) return [id, mark] as const
    return [
      id,
      judgedOverride(id, mark, bone, undefined, awayFromFound(id, mark.mm, bone.foundAlone ?? landmarks)),
    ] as const
  })
  return Object.fromEntries(entries) as Landmarks
}

const withCentre = (landmarks: Landmarks, id: LandmarkId, mm: Vec3): Landmarks => {
  const known: Landmark | undefined = landmarks[id]
  return known ? { ...landmarks, [id]: { ...known, mm } } : landmarks
}

const between = (a: Vec3 | null, b: Vec3 | null): { readonly middle: Vec3; readonly along: Vec3 } | null =>
  a && b ? { middle: midpoint(a, b), along: sub(b, a) } : null

const sameWay = (v: Vec3, as: Vec3): Vec3 =>
  v[0] * as[0] + v[1] * as[1] + v[2] * as[2] >= 0 ? v : [-v[0], -v[1], -v[2]]
