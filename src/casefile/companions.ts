import type { CompanionName, FromCompanion, LandmarkId, LandmarkOverride, LandmarkOverrides } from '../anatomy/terms.ts'
import type { Warning } from '../failure.ts'
import type { CaseDocument } from './document.ts'

/** The companion files that landmarks of a case were read from, each once; none where all come from the bones. */
export function companionsOf({ landmarks }: Pick<CaseDocument, 'landmarks'>): readonly FromCompanion[] {
  const files = new Map<string, FromCompanion>()
  // What a file says about its most certain fit stands for it: the ankle's plafond, not the malleolus.
  for (const { from } of Object.values(landmarks))
    if (from && (files.get(from.part)?.residualMm ?? null) === null) files.set(from.part, from)
  return [...files.values()]
}

/** The case with the landmarks its companion files give now; those of the same parts and points before them go. */
export function withCompanions(document: CaseDocument, given: LandmarkOverrides): CaseDocument {
  const parts = new Set(Object.values(given).flatMap(({ from }) => (from ? [from.part] : [])))
  return { ...document, landmarks: { ...without(document.landmarks, (part) => parts.has(part)), ...given } }
}

/**
 * The case as its knee files alone tell it: without what companion files gave, and with the plafond as ankle centre, since the
 * malleoli cannot be asked for before the files that show them are read.
 */
export const kneeAlone = (document: CaseDocument): CaseDocument => ({
  ...document,
  landmarks: without(document.landmarks, () => true),
  references: { ...document.references, ankleCentre: 'plafond' },
})

/** The case without a companion file and the landmarks read from it. */
export const withoutCompanion = (document: CaseDocument, part: CompanionName): CaseDocument => ({
  ...document,
  landmarks: without(document.landmarks, (other) => other === part),
})

function without(landmarks: LandmarkOverrides, drop: (part: CompanionName) => boolean): LandmarkOverrides {
  const entries = Object.entries(landmarks) as [LandmarkId, LandmarkOverride][]
  return Object.fromEntries(entries.filter(([, { from }]) => !(from && drop(from.part)))) as LandmarkOverrides
}

const given: Readonly<Record<CompanionName, { readonly points: string; readonly bone: string; readonly as: string }>> =
  {
    'femoral-head': { points: 'The hip centre is', bone: 'femur', as: 'a femoral head' },
    'distal-tibia': { points: 'Ankle centre and medial malleolus are', bone: 'tibia', as: 'a distal tibia' },
    fibula: { points: 'The lateral malleolus is', bone: 'tibia', as: 'a fibula' },
  }

/** What is taken for granted where a landmark comes from a companion file: that it lies in the knee file's own frame. */
export const companionWarnings = (document: Pick<CaseDocument, 'landmarks'>): readonly Warning[] =>
  companionsOf(document).map(({ part, file, residualMm, radiusMm, reason }) => {
    const { points, bone, as } = given[part]
    const fit = [
      ...(radiusMm === null ? [] : [`radius ${radiusMm.toFixed(1)} mm`]),
      ...(residualMm === null ? [] : [`residual ${residualMm.toFixed(2)} mm`]),
    ]
    const how = fit.length > 0 ? ` (${fit.join(', ')})` : ''
    const doubt = reason === null ? '' : ` ${reason}`
    return {
      code: 'anatomy/from-companion',
      message: `${points} read from ${file.name}, taken for ${as}${how} in the frame of the ${bone}’s file; only distance and direction from the knee could be checked.${doubt}`,
      spoils: [],
    }
  })
