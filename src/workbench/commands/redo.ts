import { Redo2 } from 'lucide-react'
import type { Command } from './command.ts'

export const redo: Command = {
  id: 'edit.redo',
  label: ({ history }) => `Redo ${history.future[0]?.label ?? ''}`.trim(),
  group: 'Edit',
  icon: Redo2,
  keys: ['mod+shift+z', 'mod+y'],
  enabled: ({ history }) => (history.future.length > 0 ? true : 'Nothing to redo.'),
  run: ({ store }) => store.getState().redo(),
}
