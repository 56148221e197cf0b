import { Undo2 } from 'lucide-react'
import { handStep } from '../store/hand-slice.ts'
import type { Command } from './command.ts'

export const undo: Command = {
  id: 'edit.undo',
  label: (state) => `Undo ${handStep(state)?.label ?? state.history.past.at(-1)?.label ?? ''}`.trim(),
  group: 'Edit',
  icon: Undo2,
  keys: ['mod+z'],
  enabled: (state) =>
    handStep(state) || state.history.past.length > 0 || state.history.gesture ? true : 'Nothing to undo.',
  run: ({ store }) => (handStep(store.getState()) ? store.getState().undoHand() : store.getState().undo()),
}
