import { Search } from 'lucide-react'
import type { Command } from './command.ts'

export const findCommand: Command = {
  id: 'window.palette',
  label: 'Find a command',
  group: 'Window',
  icon: Search,
  keys: ['mod+k'],
  run: ({ store }) => store.getState().showPalette(!store.getState().paletteOpen),
}
