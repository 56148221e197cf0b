import { Box } from 'lucide-react'
import type { Command } from './command.ts'

export const perspective: Command = {
  id: 'view.perspective',
  label: 'Perspective',
  group: 'View',
  icon: Box,
  keys: ['p'],
  checked: (state) => state.projection === 'perspective',
  run: ({ store }) => {
    const state = store.getState()
    state.setProjection(state.projection === 'perspective' ? 'orthographic' : 'perspective')
  },
}
