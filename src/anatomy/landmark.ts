import type { Vec3 } from '../geometry/vec.ts'
import { defaultSdMm } from './landmark-sd.ts'
import type { Landmark, LandmarkEvidence, LandmarkId, LandmarkOverrides } from './terms.ts'

/** A landmark as found, in the patient frame; `reason` says why its confidence is low. */
export function foundLandmark(
  id: LandmarkId,
  mm: Vec3,
  confidence: number,
  residualMm: number | null = null,
  reason: string | null = null,
): Landmark {
  return { mm, confidence: clamp(confidence), residualMm, sdMm: defaultSdMm[id].sdMm, source: 'found', reason }
}

/**
 * The landmark set by hand or given, if the case holds one; else the found one. What speaks against its place is judged afterwards
 * (`judgedLandmarks`).
 */
export function orOverride(id: LandmarkId, found: Landmark | null, overrides: LandmarkOverrides): Landmark | null {
  const given = overrides[id]
  if (!given) return found
  const { mm, source, from } = given
  const sdMm = defaultSdMm[id].sdMm
  if (!from) return { mm, confidence: 1, residualMm: null, sdMm, source, reason: null }
  const { confidence, residualMm, reason, part, file } = from
  return { mm, confidence, residualMm, sdMm, source, reason, from: { part, file: file.name } }
}

const clamp = (value: number): number => Math.max(0, Math.min(1, value))

/** Evidence of which nothing is known yet, to be filled in part. */
export const noEvidence: LandmarkEvidence = {
  fitRmsMm: null,
  sharpnessPerMm: null,
  disagreementMm: null,
  edgeMm: null,
  noiseMm: null,
}
