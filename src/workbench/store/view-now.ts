import type { SavedView } from '../../casefile/saved-view.ts'
import type { WorkbenchState } from './state.ts'

/** What the window shows now, as a view that can be kept; null while there is no 3D view. */
export function viewNow(state: WorkbenchState, name: string): SavedView | null {
  const camera = state.readCamera?.()
  if (!camera) return null
  return {
    name,
    stage: state.stage,
    camera,
    visibility: {
      hidden: [...state.hidden],
      liftPieces: state.liftPieces,
      boneOpacity: state.seeThrough ? 0.35 : 1,
    },
  }
}

/** The part of the state that a kept view sets, beside its camera. */
export const sightOfView = ({ stage, visibility }: SavedView) => ({
  stage,
  hidden: new Set(visibility.hidden),
  liftPieces: visibility.liftPieces,
  seeThrough: visibility.boneOpacity < 1,
})
