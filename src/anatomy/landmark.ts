import type { Vec3 } from '../geometry/vec.ts'
import type { Landmark, LandmarkId, LandmarkOverrides } from './terms.ts'

/** Assumed standard deviation of each landmark, mm: common practice, no source; the case may carry its own. */
export const defaultSdMm: Readonly<Record<LandmarkId, number>> = {
  hipCentre: 1,
  femoralKneeCentre: 1.5,
  condyleDistalMedial: 0.7,
  condyleDistalLateral: 0.7,
  condylePosteriorMedial: 0.7,
  condylePosteriorLateral: 0.7,
  epicondyleMedial: 2.5,
  epicondyleLateral: 2,
  notchCentre: 1.5,
  tibialKneeCentre: 1.5,
  plateauMedial: 1,
  plateauLateral: 1,
  spinesCentre: 1.5,
  posteriorNotch: 2,
  tubercle: 2,
  tubercleMedialThird: 2,
  malleolusMedial: 1.5,
  malleolusLateral: 1.5,
  ankleCentre: 1.5,
}

/** A landmark as found, in the patient frame; `reason` says why its confidence is low. */
export function foundLandmark(
  id: LandmarkId,
  mm: Vec3,
  confidence: number,
  residualMm: number | null = null,
  reason: string | null = null,
): Landmark {
  return { mm, confidence: clamp(confidence), residualMm, sdMm: defaultSdMm[id], source: 'found', reason }
}

/** The landmark set by hand or given, if the case holds one; else the found one. */
export function orOverride(id: LandmarkId, found: Landmark | null, overrides: LandmarkOverrides): Landmark | null {
  const given = overrides[id]
  if (!given) return found
  return { mm: given.mm, confidence: 1, residualMm: null, sdMm: defaultSdMm[id], source: given.source, reason: null }
}

const clamp = (value: number): number => Math.max(0, Math.min(1, value))
