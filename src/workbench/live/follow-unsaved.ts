import { caseInHand } from '../store/lesson-slice.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { packCase } from './pack-case.ts'

/** A change is kept for recovery this long after the hand rests: well under the ten seconds that may be lost. */
const keepAfterMs = 2000

/** Whether closing now would lose anything. */
export const isUnsaved = (state: WorkbenchState): boolean => caseInHand(state) !== state.savedDocument

/** Tells the program around whether closing would lose anything, names the window, and keeps unsaved work for recovery. */
export function followUnsaved(workbench: Workbench): () => void {
  const { store, host } = workbench
  let timer: ReturnType<typeof setTimeout> | undefined
  const keep = async () => {
    const state = store.getState()
    if (state.history.gesture || !isUnsaved(state)) return
    const packed = await packCase(workbench, caseInHand(state))
    if (packed.ok) await host.keepRecovery(packed.value)
  }
  const onChange = (state: WorkbenchState, before: WorkbenchState) => {
    if (
      state.history === before.history &&
      state.savedDocument === before.savedDocument &&
      state.lesson === before.lesson
    )
      return
    const unsaved = isUnsaved(state)
    const { name } = caseInHand(state)
    host.setUnsaved(unsaved, name)
    document.title =
      state.history.present.meshes.femur || state.history.present.meshes.tibia
        ? `${unsaved ? '• ' : ''}${name} – Floorline`
        : 'Floorline'
    clearTimeout(timer)
    if (unsaved && !state.history.gesture) timer = setTimeout(keep, keepAfterMs)
  }
  const stop = store.subscribe(onChange)
  return () => {
    clearTimeout(timer)
    stop()
  }
}
