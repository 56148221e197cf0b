export interface KeyPress {
  readonly key: string
  readonly code: string
  readonly ctrlKey: boolean
  readonly metaKey: boolean
  readonly shiftKey: boolean
  readonly altKey: boolean
}

export const onMac = typeof navigator !== 'undefined' && /mac/i.test(navigator.userAgent)

/**
 * A press in the words of the list of commands, `mod+shift+s`: `mod` is Ctrl, or Cmd on a Mac. Null for a modifier
 * alone, and for the modifier that the system keeps. Shift counts with letters and named keys only: a sign that
 * needs it on this keyboard already differs by it.
 */
export function strokeOf(press: KeyPress, mac = onMac): string | null {
  if (mac ? press.ctrlKey : press.metaKey) return null
  if (/^(Shift|Control|Alt|AltGraph|Meta|CapsLock|Fn|Dead|Process|Unidentified)$/.test(press.key)) return null
  const mod = mac ? press.metaKey : press.ctrlKey
  const engraved = /^(?:Key|Digit)(.)$/.exec(press.code)?.[1]?.toLowerCase()
  // Alt changes the sign on a Mac, and other alphabets have no letters of ours: there the engraved key is meant.
  const strange =
    (press.altKey && !/^\w$/.test(press.key)) || ((mod || press.altKey) && /^[^\p{ASCII}]$/u.test(press.key))
  const key = strange && engraved ? engraved : press.key.toLowerCase()
  const sign = key.length === 1 && key.toUpperCase() === key
  const parts = [mod && 'mod', press.altKey && 'alt', press.shiftKey && (!sign || strange) && 'shift']
  return [...parts, key === '+' ? 'plus' : key].filter(Boolean).join('+')
}

/** Why a command cannot have these keys: something older than any command listens to them. Null when it can. */
export function whyNotStroke(stroke: string): string | null {
  const key = stroke.split('+').at(-1)!
  if (key === 'escape') return 'Escape takes back and closes.'
  if (/^(tab|enter| |arrow.*|page.*|backspace|delete|plus|[-=])$/.test(key) && !stroke.includes('mod'))
    return 'This key works in lists, fields, lessons and the view.'
  if (/^mod\+[acvx]$/.test(stroke)) return 'These keys copy and paste text.'
  if (/^(mod\+(shift\+)?[nqrtw]|mod\+(shift\+)?tab|alt\+(f4|arrow.*)|f5|f12)$/.test(stroke))
    return 'The system or the browser keeps these keys.'
  return null
}

/** As printed on the sheet: `Ctrl Shift Z`. */
export function keyNames(stroke: string, mac = onMac): readonly string[] {
  const names: Readonly<Record<string, string>> = {
    mod: mac ? '⌘' : 'Ctrl',
    alt: mac ? '⌥' : 'Alt',
    shift: 'Shift',
    home: 'Home',
    end: 'End',
    insert: 'Insert',
    plus: '+',
  }
  return stroke.split('+').map((part) => names[part] ?? part.toUpperCase())
}
