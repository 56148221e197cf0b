import type { CaseDocument } from '../../casefile/document.ts'
import { newCase } from '../../casefile/document.ts'
import {
  beginGesture,
  cancelGesture,
  changeAside,
  commitGesture,
  editHistory,
  type History,
  newHistory,
  redo,
  takeBack,
  undo,
  updateGesture,
} from '../../casefile/history.ts'
import type { Slice } from './state.ts'

export type Edit = (document: CaseDocument) => CaseDocument

export interface CaseSlice {
  readonly history: History
  /** The document as it was last saved or opened; another one means unsaved changes. */
  readonly savedDocument: CaseDocument
  /** Saves to the same place again; null while there is none. */
  readonly savedAs: string | null
  /** One named step. An edit that changes nothing leaves no step. */
  edit(label: string, change: Edit): void
  /** A gesture: any number of updates, one step. */
  begin(label: string): void
  update(change: Edit): void
  commit(label?: string): void
  cancel(): void
  undo(): void
  redo(): void
  /** The last step goes for good: it led where nothing can be planned. */
  takeBack(): void
  /** A change that is no step and that undo leaves alone. */
  aside(change: Edit): void
  /** Another document: its history starts afresh. */
  replaceDocument(document: CaseDocument): void
}

export const createCaseSlice: Slice<CaseSlice> = (set) => {
  const change = (next: (history: History) => History) => set((state) => ({ history: next(state.history) }))
  return {
    history: newHistory(newCase),
    savedDocument: newCase,
    savedAs: null,
    edit: (label, edit) => change((history) => editHistory(history, label, edit(history.present))),
    begin: (label) => change((history) => beginGesture(history, label)),
    update: (edit) =>
      set(({ history: before }) => {
        const history = updateGesture(before, edit(before.present))
        const { femur, tibia } = history.present.meshes
        // At once with the case, not after it: everything in sight looks at each change.
        const stale = history.present !== before.present && femur !== null && tibia !== null
        return stale ? { history, updating: true, partsUpdating: true } : { history }
      }),
    commit: (label) => change((history) => commitGesture(history, label)),
    cancel: () => change(cancelGesture),
    undo: () => change(undo),
    redo: () => change(redo),
    takeBack: () => change(takeBack),
    aside: (edit) => change((history) => changeAside(history, edit)),
    replaceDocument: (document) => set({ history: newHistory(document), savedDocument: document, savedAs: null }),
  }
}
