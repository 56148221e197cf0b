import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import type { Failure } from '../../failure.ts'
import type { StageName } from '../text/messages.ts'
import type { Slice } from './state.ts'

export interface Notice {
  readonly id: number
  readonly failure: Failure
}

/** A file whose bone its shape, or whose unit its size, did not settle. */
export interface BoneQuestion {
  readonly opened: OpenedMesh
  readonly about: 'bone' | 'unit'
  /** The bone that it is in the case already, when its unit is asked about again. */
  readonly bone?: BoneName
}

export type StudyName = 'compare' | 'sweep' | 'series' | 'saw-off' | 'components'

export interface UiSlice {
  readonly stage: StageName
  readonly notices: readonly Notice[]
  readonly questions: readonly BoneQuestion[]
  readonly paletteOpen: boolean
  readonly sheetOpen: boolean
  readonly keyChangesOpen: boolean
  readonly study: StudyName | null
  readonly helpOpen: boolean
  /** Numbers are marked, and reached by the tab key, to be asked about. */
  readonly explaining: boolean
  /** The findings path whose model is shown. */
  readonly explained: string | null
  readonly fullScreen: boolean
  /** Whether the surroundings write PDF files themselves. */
  readonly savesPdf: boolean
  /** A lesson is being written out, step by step. */
  readonly exporting: { readonly step: number; readonly of: number; readonly cancel: () => void } | null
  readonly snapshotOpen: boolean
  readonly lessonsOpen: boolean
  showStage(stage: StageName): void
  notify(failure: Failure): void
  dismiss(id: number): void
  ask(question: BoneQuestion): void
  answered(): void
  showPalette(open: boolean): void
  showSheet(open: boolean): void
  showKeyChanges(open: boolean): void
  showHelp(open: boolean): void
  markNumbers(on: boolean): void
  showExplanation(path: string | null): void
  showSnapshot(open: boolean): void
  showLessons(open: boolean): void
  showStudy(study: StudyName | null): void
}

let nextNotice = 1

export const createUiSlice: Slice<UiSlice> = (set) => ({
  stage: 'bones',
  notices: [],
  questions: [],
  paletteOpen: false,
  sheetOpen: false,
  keyChangesOpen: false,
  study: null,
  helpOpen: false,
  explaining: false,
  explained: null,
  fullScreen: false,
  savesPdf: false,
  exporting: null,
  snapshotOpen: false,
  lessonsOpen: false,
  showStage: (stage) => set({ stage }),
  notify: (failure) => set((state) => ({ notices: [...state.notices.slice(-3), { id: nextNotice++, failure }] })),
  dismiss: (id) => set((state) => ({ notices: state.notices.filter((notice) => notice.id !== id) })),
  ask: (question) => set((state) => ({ questions: [...state.questions, question] })),
  answered: () => set((state) => ({ questions: state.questions.slice(1) })),
  showPalette: (paletteOpen) => set({ paletteOpen, sheetOpen: false }),
  showSheet: (sheetOpen) => set({ sheetOpen, paletteOpen: false }),
  showKeyChanges: (keyChangesOpen) => set({ keyChangesOpen, sheetOpen: false, paletteOpen: false }),
  markNumbers: (explaining) => set({ explaining }),
  showExplanation: (explained) => set({ explained }),
  showHelp: (helpOpen) => set({ helpOpen, paletteOpen: false }),
  showSnapshot: (snapshotOpen) => set({ snapshotOpen, paletteOpen: false }),
  showLessons: (lessonsOpen) => set({ lessonsOpen, paletteOpen: false }),
  showStudy: (study) => set({ study, paletteOpen: false }),
})
