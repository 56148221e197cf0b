import { Monitor, Moon, Sun } from 'lucide-react'
import type { ThemeChoice } from '../store/preferences-slice.ts'
import type { Command } from './command.ts'

const icons = { system: Monitor, light: Sun, dark: Moon } as const
const labels = { system: 'Colours as the system', light: 'Light colours', dark: 'Dark colours' } as const

export const themes: readonly Command[] = (['system', 'light', 'dark'] as const).map((theme: ThemeChoice) => ({
  id: `window.theme.${theme}`,
  label: labels[theme],
  group: 'Window',
  icon: icons[theme],
  checked: (state) => state.theme === theme,
  run: ({ store }) => store.getState().chooseTheme(theme),
}))
