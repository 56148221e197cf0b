import { type BoneName, boneOfLandmark, type LandmarkId, type LandmarkOverrides } from '../../anatomy/terms.ts'
import type { CaseDocument } from '../../casefile/document.ts'
import { meshKey } from '../../casefile/mesh-key.ts'
import type { OpenedMesh, OpenedOtherLeg, Progress } from '../../engine/contract.ts'
import { boneLabels } from '../text/messages.ts'
import type { Slice, WorkbenchState } from './state.ts'

export interface Opening {
  readonly id: number
  readonly name: string
  readonly progress: Progress
  readonly cancel: () => void
}

export interface BonesSlice {
  /** Every mesh read since the window opened, by `meshKey`, so that undo can bring one back. */
  readonly meshes: Readonly<Record<string, OpenedMesh>>
  /** The files they were read from, by SHA-256, to be read again or saved with the case. */
  readonly sources: Readonly<Record<string, Blob>>
  /** The other leg's bones as last read; drawn where the case names their files. */
  readonly otherLeg: OpenedOtherLeg | null
  readonly openings: readonly Opening[]
  /** Makes an opened file the case's femur or tibia. */
  useBone(bone: BoneName, opened: OpenedMesh, step?: string): void
  removeBone(bone: BoneName): void
  holdMesh(opened: OpenedMesh, source: Blob): void
  holdOtherLeg(opened: OpenedOtherLeg, sources: Readonly<Record<string, Blob>>): void
  startOpening(opening: Opening): void
  progressOpening(id: number, progress: Progress): void
  endOpening(id: number): void
}

export const createBonesSlice: Slice<BonesSlice> = (set, get) => ({
  meshes: {},
  sources: {},
  otherLeg: null,
  openings: [],
  useBone: (bone, { reference }, step = `open ${boneLabels[bone].toLowerCase()}`) =>
    get().edit(step, (document) => withBone(document, bone, reference)),
  removeBone: (bone) =>
    get().edit(`remove ${boneLabels[bone].toLowerCase()}`, (document) => withBone(document, bone, null)),
  holdMesh: (opened, source) =>
    set((state) => ({
      meshes: { ...state.meshes, [opened.key]: opened },
      sources: { ...state.sources, [opened.reference.sha256]: source },
    })),
  holdOtherLeg: (otherLeg, sources) => set((state) => ({ otherLeg, sources: { ...state.sources, ...sources } })),
  startOpening: (opening) => set((state) => ({ openings: [...state.openings, opening] })),
  progressOpening: (id, progress) =>
    set((state) => ({ openings: state.openings.map((o) => (o.id === id ? { ...o, progress } : o)) })),
  endOpening: (id) => set((state) => ({ openings: state.openings.filter((o) => o.id !== id) })),
})

/** The mesh that stands for a bone of the case now; undefined while none does. */
export function openedBone({ history, meshes }: WorkbenchState, bone: BoneName): OpenedMesh | undefined {
  const reference = history.present.meshes[bone]
  return reference ? meshes[meshKey(reference)] : undefined
}

/** The other leg's own bones, if they are at hand and the case stands beside them. */
export function openedOtherLeg({ history, otherLeg }: WorkbenchState): OpenedOtherLeg | null {
  const { other } = history.present.stance
  return otherLeg !== null && other !== null && otherLeg.bones.files.join() === other.files.join() ? otherLeg : null
}

/** The document with another bone in that place; landmarks set on the old bone go with it. */
export function withBone(
  document: CaseDocument,
  bone: BoneName,
  reference: CaseDocument['meshes'][BoneName],
): CaseDocument {
  const old = document.meshes[bone]
  const sameScale = old?.sha256 === reference?.sha256 && old?.unitFactor === reference?.unitFactor
  // A companion file may be opened before the bone that it belongs to.
  const kept = Object.entries(document.landmarks).filter(
    ([id, { from }]) => sameScale || (old === null && from !== undefined) || boneOfLandmark(id as LandmarkId) !== bone,
  )
  return {
    ...document,
    meshes: { ...document.meshes, [bone]: reference },
    landmarks: Object.fromEntries(kept) as LandmarkOverrides,
  }
}
