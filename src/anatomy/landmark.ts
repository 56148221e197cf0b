import type { Vec3 } from '../geometry/vec.ts'
import { awayFromFound, isExtreme } from './away-from-found.ts'
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
 * The landmark set by hand or given, if the case holds one; else the found one. One set by hand away from where it was surely found
 * has less confidence, and the distance as the reason.
 */
export function orOverride(id: LandmarkId, found: Landmark | null, overrides: LandmarkOverrides): Landmark | null {
  const given = overrides[id]
  if (!given) return found
  const { mm, source, from } = given
  const sdMm = defaultSdMm[id].sdMm
  if (!from) {
    const away =
      source === 'set' && found && found.confidence > trustedFrom && !isExtreme(id)
        ? awayFromFound(id, mm, found.mm)
        : null
    const doubt = away !== null && away.confidence < 0.75 ? away : { confidence: 1, reason: null }
    return { mm, ...doubt, residualMm: null, sdMm, source }
  }
  const { confidence, residualMm, reason, part, file } = from
  return { mm, confidence, residualMm, sdMm, source, reason, from: { part, file: file.name } }
}

/** What the finder itself doubts does not speak against a hand that moved it. */
const trustedFrom = 0.65

const clamp = (value: number): number => Math.max(0, Math.min(1, value))

/** Evidence of which nothing is known yet, to be filled in part. */
export const noEvidence: LandmarkEvidence = {
  fitRmsMm: null,
  sharpnessPerMm: null,
  disagreementMm: null,
  edgeMm: null,
  noiseMm: null,
}
