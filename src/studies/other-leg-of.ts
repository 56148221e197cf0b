import { type Bones, findAnatomy } from '../assess.ts'
import type { CaseDocument } from '../casefile/document.ts'
import type { Result } from '../failure.ts'
import { measureOtherLeg, type OtherLeg } from '../stance/other-leg.ts'

/**
 * The other leg of a case, measured on its own bones by the same definitions. Its side is declared to be the opposite one, so that
 * two legs of one side are refused.
 */
export function otherLegOf(
  document: CaseDocument,
  bones: Bones,
  other: Bones,
  files: readonly string[],
): Result<OtherLeg> {
  const operated = findAnatomy(document, bones)
  if (!operated.ok) return operated
  const side = operated.value.side === 'left' ? 'right' : 'left'
  const found = findAnatomy({ ...document, side, landmarks: {} }, other)
  if (!found.ok) return found
  const { femur, tibia, measured } = found.value
  const hip = operated.value.femur.truncated ? null : (operated.value.femur.landmarks.hipCentre?.mm ?? null)
  return measureOtherLeg({ femur, tibia, angles: measured.angles }, hip, document.frame, files)
}
