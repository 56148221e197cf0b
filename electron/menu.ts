import type { MenuItemConstructorOptions } from 'electron'
import type { MenuSection } from '../src/host/bridge.ts'

/**
 * The native menu made from the window's list of commands. An item only reports its id back: what it does, and whether
 * it may, the window decides. The system's own edit roles are added, so that copy and paste work in number fields.
 */
export function menuTemplate(
  menu: readonly MenuSection[],
  platform: NodeJS.Platform,
  choose: (id: string) => void,
): MenuItemConstructorOptions[] {
  const sections = menu.map((section) => ({
    label: section.label,
    submenu: section.groups
      .filter((group) => group.length > 0)
      .flatMap((group, index): MenuItemConstructorOptions[] => [
        ...(index === 0 ? [] : [{ type: 'separator' as const }]),
        ...group.map((item) => ({
          id: item.id,
          label: item.label.replaceAll('&', '&&'),
          enabled: item.enabled,
          ...(item.accelerator === null ? {} : { accelerator: item.accelerator, registerAccelerator: false }),
          ...(item.checked === null ? {} : { type: 'checkbox' as const, checked: item.checked }),
          click: () => choose(item.id),
        })),
      ]),
  }))
  const clipboard: MenuItemConstructorOptions = {
    label: 'Text',
    submenu: [{ role: 'cut' }, { role: 'copy' }, { role: 'paste' }, { role: 'selectAll' }],
  }
  return [...(platform === 'darwin' ? [{ role: 'appMenu' as const }] : []), ...sections, clipboard]
}
