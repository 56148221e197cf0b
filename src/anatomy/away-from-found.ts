import { distance, midpoint, type Vec3 } from '../geometry/vec.ts'
import { chanceWithin } from './chance-within.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { LandmarkId, Landmarks } from './terms.ts'

/** What the distance between a landmark set by hand and where it is found says: a confidence, and the reason when it is low. */
export interface Away {
  readonly confidence: number
  readonly reason: string
}

/**
 * The chance that a landmark set by hand is right though it lies elsewhere than it is found (mm, one frame): 1 up to one standard
 * deviation, from there on falling as the rest of the distance grows.
 */
export function awayFromFound(id: LandmarkId, mm: Vec3, foundMm: Vec3): Away {
  const { sdMm } = defaultSdMm[id]
  const away = distance(mm, foundMm)
  return {
    confidence: chanceWithin(2 * sdMm, Math.max(0, away - sdMm)),
    reason: `Set by hand, ${away.toFixed(1)} mm from where the shape shows it.`,
  }
}

/** Landmarks that are a critical point of the surface along their direction; others are middles or thirds of something. */
const extremes: readonly LandmarkId[] = [
  'condyleDistalMedial',
  'condyleDistalLateral',
  'condylePosteriorMedial',
  'condylePosteriorLateral',
  'epicondyleMedial',
  'epicondyleLateral',
  'notchCentre',
  'malleolusMedial',
  'tubercle',
]

/** Whether the surface itself tells how far such a landmark lies from where it belongs. */
export const isExtreme = (id: LandmarkId): boolean => extremes.includes(id)

/** A knee centre is one of these; set by hand it is held against the nearer one. */
const centres: Readonly<Partial<Record<LandmarkId, readonly (readonly [LandmarkId, LandmarkId])[]>>> = {
  femoralKneeCentre: [
    ['notchCentre', 'notchCentre'],
    ['epicondyleMedial', 'epicondyleLateral'],
  ],
  tibialKneeCentre: [
    ['spinesCentre', 'spinesCentre'],
    ['plateauMedial', 'plateauLateral'],
  ],
}

/** The same for a knee centre, against the other landmarks; null for every other landmark, and where they are missing. */
export function awayFromCentre(id: LandmarkId, mm: Vec3, landmarks: Landmarks): Away | null {
  const places = (centres[id] ?? []).flatMap(([a, b]) => {
    const [p, q] = [landmarks[a], landmarks[b]]
    return p && q ? [awayFromFound(id, mm, midpoint(p.mm, q.mm))] : []
  })
  return places.reduce<Away | null>((best, at) => (best && best.confidence >= at.confidence ? best : at), null)
}
