import type { StoreApi } from 'zustand/vanilla'
import type { BonesSlice } from './bones-slice.ts'
import type { CaseSlice } from './case-slice.ts'
import type { HandSlice } from './hand-slice.ts'
import type { LessonSlice } from './lesson-slice.ts'
import type { MarkerSlice } from './marker-slice.ts'
import type { PreferencesSlice } from './preferences-slice.ts'
import type { ProblemsSlice } from './problems-slice.ts'
import type { ResultsSlice } from './results-slice.ts'
import type { SightSlice } from './sight-slice.ts'
import type { UiSlice } from './ui-slice.ts'
import type { ViewportSlice } from './viewport-slice.ts'

/** Everything the window remembers while it is open. Only `history` is the case; the rest is not undone. */
export interface WorkbenchState
  extends CaseSlice,
    BonesSlice,
    ProblemsSlice,
    ResultsSlice,
    ViewportSlice,
    HandSlice,
    SightSlice,
    PreferencesSlice,
    LessonSlice,
    MarkerSlice,
    UiSlice {}

export type WorkbenchStore = StoreApi<WorkbenchState>

/** What a slice is made from. */
export type Slice<S> = (set: WorkbenchStore['setState'], get: WorkbenchStore['getState']) => S
