import { Contrast, Monitor, Moon, Sun } from 'lucide-react'
import { themeChoices } from '../store/preferences-slice.ts'
import type { Command } from './command.ts'

const icons = { system: Monitor, light: Sun, dark: Moon, contrast: Contrast } as const
const labels = {
  system: 'Colours as the system',
  light: 'Light colours',
  dark: 'Dark colours',
  contrast: 'High contrast',
} as const

export const themes: readonly Command[] = themeChoices.map((theme) => ({
  id: `window.theme.${theme}`,
  label: labels[theme],
  group: 'Window',
  icon: icons[theme],
  checked: (state) => state.theme === theme,
  run: ({ store }) => store.getState().chooseTheme(theme),
}))
