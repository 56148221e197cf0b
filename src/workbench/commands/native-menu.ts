import type { MenuSection } from '../../host/bridge.ts'
import type { WorkbenchState } from '../store/state.ts'
import { commandGroups, labelOf, whyNot } from './command.ts'
import { commands } from './list.ts'
import { keysOf } from './own-keys.ts'

/** The desktop's own menu: every command by group, as it stands now. */
export function nativeMenu(state: WorkbenchState): readonly MenuSection[] {
  return commandGroups.map((group) => ({
    label: group,
    groups: [
      commands
        .filter((command) => command.group === group)
        .map((command) => ({
          id: command.id,
          label: labelOf(command, state),
          accelerator: acceleratorOf(keysOf(command, state.ownKeys)),
          enabled: whyNot(command, state) === null,
          checked: command.checked?.(state) ?? null,
        })),
    ],
  }))
}

/**
 * Only keys with `mod`: a single letter in a native menu would be taken away from whoever is typing. And only keys that
 * every system's menu can name; the others work all the same, for it is the window that listens.
 */
function acceleratorOf(keys: readonly string[]): string | null {
  const withMod = keys.find((key) =>
    /^mod\+(alt\+)?(shift\+)?([a-z0-9]|f\d+|home|end|insert|plus|[[\],./;'`])$/.test(key),
  )
  if (!withMod) return null
  const names: Readonly<Record<string, string>> = { mod: 'CmdOrCtrl', shift: 'Shift', alt: 'Alt' }
  return withMod
    .split('+')
    .map((part) => names[part] ?? part.toUpperCase())
    .join('+')
}
