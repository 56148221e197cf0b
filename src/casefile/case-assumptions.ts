import { confidenceWord } from '../anatomy/confidence-word.ts'
import { landmarkWords } from '../anatomy/landmark-words.ts'
import type { SettledSide } from '../anatomy/settle-side.ts'
import { type SignOff, signOffWords } from '../anatomy/sign-off.ts'
import type { BoneName, Landmark, LandmarkId, Landmarks } from '../anatomy/terms.ts'
import type { Assumption } from '../planning/planned.ts'
import type { CaseDocument, MeshReference } from './document.ts'

/** What a case leaves undeclared or had repaired, as assumptions: patient frame, side from shape, repairs of each bone. */
export function caseAssumptions(
  { frame, meshes }: Pick<CaseDocument, 'frame' | 'meshes'>,
  sideSource: SettledSide['sideSource'],
): readonly Assumption[] {
  const assumptions: Assumption[] = [
    {
      what: 'patient frame',
      value: frame === 'unknown' ? 'unknown' : frame.toUpperCase(),
      basis: frame === 'unknown' ? 'not declared; femur and tibia need share no frame' : 'declared',
    },
  ]
  if (sideSource === 'shape')
    assumptions.push({
      what: 'side',
      value: 'from shape; a mirrored export cannot be excluded',
      basis: 'nothing was declared',
    })
  for (const bone of ['femur', 'tibia'] as const) {
    const repairs = meshes[bone]?.repairs ?? []
    if (repairs.length > 0)
      assumptions.push({
        what: `repairs of the ${bone}`,
        value: repairs.map(({ kind }) => kind).join(', '),
        basis: 'recorded in the case; surface that fills holes was not scanned',
      })
  }
  return assumptions
}

/** Whether anyone looked the landmarks over, and which were not found by shape or are doubtful, as an assumption of the findings. */
export function landmarksAssumption({ state }: SignOff, landmarks: Landmarks): Assumption {
  const entries = Object.entries(landmarks) as [LandmarkId, Landmark][]
  const named = (what: string, holds: (landmark: Landmark) => boolean): readonly string[] => {
    const names = entries.filter(([, landmark]) => holds(landmark)).map(([id]) => landmarkWords[id])
    return names.length === 0 ? [] : [`${what}: ${names.join(', ')}`]
  }
  return {
    what: 'landmarks',
    value: [
      signOffWords[state],
      ...named('set by hand', ({ source }) => source === 'set'),
      ...named('given', ({ source }) => source === 'given'),
      ...named('doubtful', ({ confidence }) => confidenceWord(confidence) === 'doubtful'),
    ].join('; '),
    basis: 'looked over in this program by its user, or not; nothing is verified against the patient',
  }
}

/** The files of a case's bones as the findings name them: femur first, only those that are there. */
export function meshesOf({
  meshes,
}: Pick<CaseDocument, 'meshes'>): readonly (MeshReference & { readonly bone: BoneName })[] {
  const entry = (bone: BoneName) => {
    const reference = meshes[bone]
    return reference ? [{ bone, ...reference }] : []
  }
  return [...entry('femur'), ...entry('tibia')]
}
