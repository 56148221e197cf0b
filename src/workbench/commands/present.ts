import { Presentation } from 'lucide-react'
import type { Command } from './command.ts'

export const present: Command = {
  id: 'window.present',
  label: 'Present',
  group: 'Window',
  icon: Presentation,
  keys: ['mod+.'],
  checked: (state) => state.present,
  run: ({ store }) => store.getState().setPresent(!store.getState().present),
}
