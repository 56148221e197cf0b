import { createStore } from 'zustand/vanilla'
import { createBonesSlice } from './bones-slice.ts'
import { createCaseSlice } from './case-slice.ts'
import { createHandSlice } from './hand-slice.ts'
import { createLessonSlice } from './lesson-slice.ts'
import { createMarkerSlice } from './marker-slice.ts'
import { createPreferencesSlice } from './preferences-slice.ts'
import { createProblemsSlice } from './problems-slice.ts'
import { createResultsSlice } from './results-slice.ts'
import { createSightSlice } from './sight-slice.ts'
import type { WorkbenchState, WorkbenchStore } from './state.ts'
import { createUiSlice } from './ui-slice.ts'
import { createViewportSlice } from './viewport-slice.ts'

/** A fresh window's memory: an untitled case, no bones. */
export const createWorkbenchStore = (): WorkbenchStore =>
  createStore<WorkbenchState>((set, get) => ({
    ...createCaseSlice(set, get),
    ...createBonesSlice(set, get),
    ...createProblemsSlice(set, get),
    ...createResultsSlice(set, get),
    ...createViewportSlice(set, get),
    ...createHandSlice(set, get),
    ...createSightSlice(set, get),
    ...createPreferencesSlice(set, get),
    ...createLessonSlice(set, get),
    ...createMarkerSlice(set, get),
    ...createUiSlice(set, get),
  }))
