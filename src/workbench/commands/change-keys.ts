import { Keyboard } from 'lucide-react'
import type { Command } from './command.ts'

export const changeKeys: Command = {
  id: 'window.change-keys',
  label: 'Change keys…',
  group: 'Window',
  icon: Keyboard,
  run: ({ store }) => store.getState().showKeyChanges(true),
}
