import { CircleHelp } from 'lucide-react'
import type { Command } from './command.ts'

export const help: Command = {
  id: 'window.help',
  label: 'Help for this stage',
  group: 'Window',
  icon: CircleHelp,
  keys: ['f1'],
  run: ({ store }) => store.getState().showHelp(!store.getState().helpOpen),
}
