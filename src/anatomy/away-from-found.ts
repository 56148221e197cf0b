import { distance, midpoint, type Vec3 } from '../geometry/vec.ts'
import { chanceWithin } from './chance-within.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { LandmarkId, Landmarks } from './terms.ts'

/** What the distance between a landmark and where the surface alone shows it says. */
export interface Away {
  readonly awayMm: number
  readonly confidence: number
  /** By which other definition it lies where it does; null where the one in use says best where it belongs. */
  readonly by: string | null
}

/** A place by another definition than the one in use, and which, in words; mm. */
export interface OtherPlace {
  readonly mm: Vec3
  readonly by: string
}

/**
 * The chance that a landmark is right though it lies elsewhere (mm, one frame) than the surface shows it without a hand (`alone`): 1 up
 * to one standard deviation of the place found there, from there on falling as the rest of the distance grows: still sure at 2 SD,
 * doubtful beyond 3. A place that is itself doubtful has a wide SD and speaks against nothing near it. One that lies by another
 * definition of its landmark (a knee or ankle centre, or `other`) is fair at best, and says so. null where the surface shows none.
 */
export function awayFromFound(
  id: LandmarkId,
  mm: Vec3,
  alone: Landmarks,
  other: OtherPlace | null = null,
): Away | null {
  const own = alone[id]
  if (own?.source !== 'found') return null
  const sdMm = Math.max(own.sdMm ?? 0, defaultSdMm[id].sdMm)
  const awayMm = distance(mm, own.mm)
  let best: Away = { awayMm, confidence: chanceAt(awayMm, sdMm), by: null }
  for (const place of [...otherCentres(id, alone), ...(other ? [other] : [])]) {
    const confidence = Math.min(fairAtBest, chanceAt(distance(mm, place.mm), defaultSdMm[id].sdMm))
    if (confidence > best.confidence) best = { awayMm, confidence, by: place.by }
  }
  return best
}

/** The chance that a point so far from another, which itself scatters, is right. */
export const chanceAt = (awayMm: number, sdMm: number): number => chanceWithin(2 * sdMm, Math.max(0, awayMm - sdMm))

/** Confidence of what lies by another definition than the one in use. */
const fairAtBest = 0.7

/** Centres are told by one point, or by the middle of two. */
const centres: Readonly<Partial<Record<LandmarkId, readonly (readonly [LandmarkId, LandmarkId, string])[]>>> = {
  femoralKneeCentre: [
    ['notchCentre', 'notchCentre', 'at the notch'],
    ['epicondyleMedial', 'epicondyleLateral', 'between the epicondyles'],
  ],
  tibialKneeCentre: [
    ['spinesCentre', 'spinesCentre', 'between the spines'],
    ['plateauMedial', 'plateauLateral', 'between the plateau points'],
  ],
  ankleCentre: [['malleolusMedial', 'malleolusLateral', 'between the malleoli']],
}

const otherCentres = (id: LandmarkId, alone: Landmarks): readonly OtherPlace[] =>
  (centres[id] ?? []).flatMap(([a, b, by]) => {
    const [p, q] = [alone[a], alone[b]]
    return p && q ? [{ mm: midpoint(p.mm, q.mm), by }] : []
  })

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
