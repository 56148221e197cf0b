import { Keyboard } from 'lucide-react'
import type { Command } from './command.ts'

export const showKeys: Command = {
  id: 'window.keys',
  label: 'Keys',
  group: 'Window',
  icon: Keyboard,
  keys: ['?'],
  run: ({ store }) => store.getState().showSheet(!store.getState().sheetOpen),
}
