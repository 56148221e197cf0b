import { femoralShape } from '../anatomy/femoral-shape.ts'
import { findFemur } from '../anatomy/find-femur.ts'
import { findTibia } from '../anatomy/find-tibia.ts'
import { keptAlone } from '../anatomy/found-alone.ts'
import { holdFemur, holdTibia } from '../anatomy/hold-landmarks.ts'
import { judgedLandmarks } from '../anatomy/judge-landmarks.ts'
import { withEnteredSd } from '../anatomy/landmark-sd.ts'
import { type MeasuredAngles, measureAngles } from '../anatomy/measure-angles.ts'
import { outerSurface } from '../anatomy/outer-surface.ts'
import { settleSide } from '../anatomy/settle-side.ts'
import {
  type BoneName,
  boneOfLandmark,
  type FemurAnatomy,
  type LandmarkId,
  type LandmarkOverrides,
  type Side,
  type TibiaAnatomy,
} from '../anatomy/terms.ts'
import { ok, type Result } from '../failure.ts'
import type { Findings } from '../findings.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { CaseDocument } from './document.ts'
import { remembered } from './remembered.ts'

/** The two bones of a case, mm, each in the patient frame of its own file. */
export interface Bones {
  readonly femur: BoneMesh
  readonly tibia: BoneMesh
}

/** Landmarks, frames, side and angles: what the first stage knows. */
export interface Anatomy {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly side: Side
  readonly sideSource: Findings['sideSource']
  readonly measured: MeasuredAngles
}

/**
 * Landmarks, frames, side and angles of a pair of bones, without a plan. A contradiction between the declared side
 * and what shape or position say is a failure.
 */
export function findAnatomy(document: CaseDocument, { femur, tibia }: Bones): Result<Anatomy> {
  const { references, frame, side } = document
  const { sdMm } = document.uncertainty
  const foundFemur = findFemurOf(document, femur)
  if (!foundFemur.ok) return foundFemur
  const firstTibia = findTibiaOf(document, tibia, foundFemur.value)
  if (!firstTibia.ok) return firstTibia
  // A scan too short to tell its side lies on its partner's, found again with that side.
  const hidden = [foundFemur.value, firstTibia.value].map((bone) => bone.sideUnclear === true)
  const sidedByPartner = hidden[0] === hidden[1] ? null : hidden[0] ? 'femur' : 'tibia'
  const againFemur =
    sidedByPartner === 'femur' ? findFemurOf({ ...document, side: firstTibia.value.side }, femur) : foundFemur
  if (!againFemur.ok) return againFemur
  const partner = againFemur.value
  const foundTibia =
    sidedByPartner === 'tibia' ? findTibiaOf({ ...document, side: partner.side }, tibia, partner) : firstTibia
  if (!foundTibia.ok) return foundTibia
  return sideStage([partner, foundTibia.value], { references, side, frame, sdMm }, () => {
    const settled = settleSide({ declared: side, femur: partner, tibia: foundTibia.value, sidedByPartner, frame })
    if (!settled.ok) return settled
    const { side: settledSide, sideSource, warnings } = settled.value
    const shaped = judgedFemurOf(document, femur, partner)
    const judgedTibia = judgedLandmarks(
      outerSurface(tibia).bone.mesh,
      foundTibia.value,
      tibiaAlone(document, tibia, foundTibia.value, partner),
    )
    const measured = measureAngles(shaped, judgedTibia, { references, frame })
    return ok({
      femur: withEnteredSd(shaped, sdMm),
      tibia: withEnteredSd(judgedTibia, sdMm),
      side: settledSide,
      sideSource,
      measured: { ...measured, warnings: [...warnings, ...measured.warnings] },
    })
  })
}

/** The femur's part of it, remembered; `made` gives an answer that was found elsewhere by the same document. */
export function findFemurOf(
  { references, side, landmarks }: CaseDocument,
  femur: BoneMesh,
  made: Result<FemurAnatomy> | null = null,
): Result<FemurAnatomy> {
  const overrides = overridesOf(landmarks, 'femur')
  return femurStage(
    [femur],
    { references, side, overrides },
    () => made ?? findFemur(femur, { references, overrides, ...(side === null ? {} : { side }) }),
  )
}

/** The femur as it was found, with its shape and its landmarks judged, remembered; `made` as in `findFemurOf`. */
export function judgedFemurOf(
  document: CaseDocument,
  femur: BoneMesh,
  found: FemurAnatomy,
  made: FemurAnatomy | null = null,
): FemurAnatomy {
  const { references, side } = document
  return judgedStage([femur, found], { references, side, overrides: overridesOf(document.landmarks, 'femur') }, () => {
    if (made) return made
    const seen = outerSurface(femur).bone
    const shaped = { ...found, shape: femoralShape(seen, found) }
    return judgedLandmarks(seen.mesh, shaped, femurAlone(document, femur, found))
  })
}

/** Whether the tibia is found without its femur: unless the femur's reference is carried over. */
export const isFoundAlone = ({ references }: CaseDocument): boolean => references.tibialAnterior !== 'femoral'

/** The tibia's part of it, remembered. It needs the `femur` (or its anatomy is refused) only where the femur's reference is carried over. */
export function findTibiaOf(document: CaseDocument, tibia: BoneMesh, femur: FemurAnatomy | null): Result<TibiaAnatomy> {
  const { references, side, landmarks } = document
  const overrides = overridesOf(landmarks, 'tibia')
  const partner = isFoundAlone(document) ? null : femur
  return tibiaStage(partner ? [tibia, partner] : [tibia], { references, side, overrides }, () =>
    findTibia(tibia, {
      references,
      overrides,
      ...(partner ? { femur: partner } : {}),
      ...(side === null ? {} : { side }),
    }),
  )
}

/** The femur as its surface alone shows it, with the sulcus by which its epicondyle may be told; null where nothing was set or entered. */
export function femurAlone(document: CaseDocument, femur: BoneMesh, aided: FemurAnatomy): FemurAnatomy | null {
  const own = overridesOf(document.landmarks, 'femur')
  const landmarks = keptAlone(aided, own)
  if (landmarks === own) return null
  const alone = ofSide(aided.side, document, (side) => findFemurOf({ ...document, side, landmarks }, femur))
  return alone && own.epicondyleMedial ? { ...alone, shape: femoralShape(femur, alone) } : alone
}

/** The same for the tibia, beside the `femur` as it was found (needed where its reference is carried over). */
export function tibiaAlone(
  document: CaseDocument,
  tibia: BoneMesh,
  aided: TibiaAnatomy,
  femur: FemurAnatomy | null,
): TibiaAnatomy | null {
  const own = overridesOf(document.landmarks, 'tibia')
  const landmarks = keptAlone(aided, own)
  if (landmarks === own) return null
  return ofSide(aided.side, document, (side) => findTibiaOf({ ...document, side, landmarks }, tibia, femur))
}

/** What is found with the declared side, or else with this one, if it is of this side: medial and lateral must not be swapped. */
function ofSide<T extends FemurAnatomy | TibiaAnatomy>(
  side: Side,
  { side: declared }: CaseDocument,
  find: (side: Side | null) => Result<T>,
): T | null {
  for (const as of declared === side ? [declared] : [declared, side]) {
    const found = find(as)
    if (found.ok && found.value.side === side) return found.value
  }
  return null
}

/** The same bones under landmarks set by hand, without looking at the surfaces again. */
export function heldAnatomy({ references, frame, landmarks }: CaseDocument, held: Anatomy): Anatomy {
  const femur = holdFemur(held.femur, overridesOf(landmarks, 'femur'), references)
  const tibia = holdTibia(held.tibia, overridesOf(landmarks, 'tibia'), references, femur)
  const measured = measureAngles(femur, tibia, { references, frame })
  const ofSide = held.measured.warnings.filter(({ code }) => code === 'anatomy/side-from-shape')
  return { ...held, femur, tibia, measured: { ...measured, warnings: [...ofSide, ...measured.warnings] } }
}

const femurStage = remembered<Result<FemurAnatomy>>()
const judgedStage = remembered<FemurAnatomy>()
const tibiaStage = remembered<Result<TibiaAnatomy>>()
const sideStage = remembered<Result<Anatomy>>()

function overridesOf(overrides: LandmarkOverrides, bone: BoneName): LandmarkOverrides {
  return Object.fromEntries(Object.entries(overrides).filter(([id]) => boneOfLandmark(id as LandmarkId) === bone))
}
