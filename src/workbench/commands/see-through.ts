import { Layers2 } from 'lucide-react'
import type { Command } from './command.ts'

export const seeThrough: Command = {
  id: 'view.see-through',
  label: 'See-through bone',
  group: 'View',
  icon: Layers2,
  keys: ['t'],
  checked: (state) => state.seeThrough,
  run: ({ store }) => store.getState().setSeeThrough(!store.getState().seeThrough),
}
