import { type Bones, findAnatomy } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { ok, type Result } from '../failure.ts'
import { measureOtherLeg, type OtherLeg } from '../stance/other-leg.ts'
import type { OtherLegBones } from '../stance/stand-other-leg.ts'

/** What the case keeps of the other leg, and its bones for the drawings. */
export interface FoundOtherLeg {
  readonly measured: OtherLeg
  readonly bones: OtherLegBones
}

/**
 * The other leg of a case, measured on its own bones by the same definitions. Its side is declared to be the opposite one, so that
 * two legs of one side are refused.
 */
export function otherLegOf(
  document: CaseDocument,
  bones: Bones,
  other: Bones,
  files: readonly string[],
): Result<FoundOtherLeg> {
  const operated = findAnatomy(document, bones)
  if (!operated.ok) return operated
  const side = operated.value.side === 'left' ? 'right' : 'left'
  const found = findAnatomy({ ...document, side, landmarks: {} }, other)
  if (!found.ok) return found
  const { femur, tibia, measured } = found.value
  const hip = operated.value.femur.truncated ? null : (operated.value.femur.landmarks.hipCentre?.mm ?? null)
  const leg = measureOtherLeg({ femur, tibia, angles: measured.angles }, hip, document.frame, files)
  if (!leg.ok) return leg
  const { kneePose } = measured.angles
  return ok({
    measured: leg.value,
    bones: {
      side,
      files,
      femur,
      tibia,
      varusDeg: leg.value.varusDeg,
      externalRotationDeg: kneePose?.externalRotationDeg ?? null,
      femurMesh: other.femur.mesh,
      tibiaMesh: other.tibia.mesh,
    },
  })
}
