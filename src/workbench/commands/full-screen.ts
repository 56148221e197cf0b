import { Expand } from 'lucide-react'
import type { Command } from './command.ts'

export const fullScreen: Command = {
  id: 'window.full-screen',
  label: 'Full screen',
  group: 'Window',
  icon: Expand,
  keys: ['f11'],
  checked: (state) => state.fullScreen,
  run: ({ store, host }) => {
    const on = !store.getState().fullScreen
    store.setState({ fullScreen: on })
    host.setFullScreen(on)
  },
}
