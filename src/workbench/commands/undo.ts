import { Undo2 } from 'lucide-react'
import type { Command } from './command.ts'

export const undo: Command = {
  id: 'edit.undo',
  label: ({ history }) => `Undo ${history.past.at(-1)?.label ?? ''}`.trim(),
  group: 'Edit',
  icon: Undo2,
  keys: ['mod+z'],
  enabled: ({ history }) => (history.past.length > 0 || history.gesture ? true : 'Nothing to undo.'),
  run: ({ store }) => store.getState().undo(),
}
