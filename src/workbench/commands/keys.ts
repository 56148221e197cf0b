import type { Command } from './command.ts'
import { commands } from './list.ts'

export interface KeyPress {
  readonly key: string
  readonly code: string
  readonly ctrlKey: boolean
  readonly metaKey: boolean
  readonly shiftKey: boolean
  readonly altKey: boolean
}

const onMac = typeof navigator !== 'undefined' && /mac/i.test(navigator.userAgent)

/** The command a key press stands for. While something is being typed, only keys with `mod` or `alt` count. */
export function commandForKey(press: KeyPress, typing: boolean, mac = onMac): Command | null {
  const mod = mac ? press.metaKey : press.ctrlKey
  return (
    commands.find((command) =>
      command.keys?.some((keys) => {
        const parts = keys.split('+')
        const key = parts.at(-1)!
        if (parts.includes('mod') !== mod || parts.includes('alt') !== press.altKey) return false
        if (typing && !mod && !press.altKey) return false
        // The question mark already needs Shift on most keyboards.
        if (key !== '?' && parts.includes('shift') !== press.shiftKey) return false
        return press.key.toLowerCase() === key || (press.altKey && press.code === `Digit${key}`)
      }),
    ) ?? null
  )
}

/** As printed on the sheet: `Ctrl Shift Z`. */
export function keyNames(keys: string, mac = onMac): readonly string[] {
  const names: Record<string, string> = { mod: mac ? '⌘' : 'Ctrl', shift: 'Shift', alt: 'Alt', home: 'Home' }
  return keys.split('+').map((part) => names[part] ?? part.toUpperCase())
}
