import type { BoneName, LandmarkOverrides } from '../../anatomy/terms.ts'
import type { CaseDocument } from '../../casefile/document.ts'
import type { OpenedMesh, Progress } from '../../engine/contract.ts'
import { boneLabels } from '../text/messages.ts'
import { landmarkBone } from './landmark-bone.ts'
import type { Slice } from './state.ts'

export interface Opening {
  readonly id: number
  readonly name: string
  readonly progress: Progress
  readonly cancel: () => void
}

export interface BonesSlice {
  /** Every mesh read since the window opened, by hash, so that undo can bring one back. */
  readonly meshes: Readonly<Record<string, OpenedMesh>>
  readonly openings: readonly Opening[]
  /** Makes an opened file the case's femur or tibia. */
  useBone(bone: BoneName, opened: OpenedMesh): void
  removeBone(bone: BoneName): void
  holdMesh(opened: OpenedMesh): void
  startOpening(opening: Opening): void
  progressOpening(id: number, progress: Progress): void
  endOpening(id: number): void
}

export const createBonesSlice: Slice<BonesSlice> = (set, get) => ({
  meshes: {},
  openings: [],
  useBone: (bone, opened) => {
    get().holdMesh(opened)
    const { sha256, name, unitFactor } = opened
    get().edit(`open ${boneLabels[bone].toLowerCase()}`, (document) =>
      withBone(document, bone, { sha256, name, unitFactor, repairs: [] }),
    )
  },
  removeBone: (bone) =>
    get().edit(`remove ${boneLabels[bone].toLowerCase()}`, (document) => withBone(document, bone, null)),
  holdMesh: (opened) => set((state) => ({ meshes: { ...state.meshes, [opened.sha256]: opened } })),
  startOpening: (opening) => set((state) => ({ openings: [...state.openings, opening] })),
  progressOpening: (id, progress) =>
    set((state) => ({ openings: state.openings.map((o) => (o.id === id ? { ...o, progress } : o)) })),
  endOpening: (id) => set((state) => ({ openings: state.openings.filter((o) => o.id !== id) })),
})

/** The document with another bone in that place; landmarks set on the old bone go with it. */
export function withBone(
  document: CaseDocument,
  bone: BoneName,
  reference: CaseDocument['meshes'][BoneName],
): CaseDocument {
  const kept = Object.entries(document.landmarks).filter(([id]) => landmarkBone(id) !== bone)
  return {
    ...document,
    meshes: { ...document.meshes, [bone]: reference },
    landmarks: Object.fromEntries(kept) as LandmarkOverrides,
  }
}
