import type { Rectangle } from 'electron'
import { z } from 'zod'

z.config({ jitless: true })

const stored = z.object({
  x: z.number().int(),
  y: z.number().int(),
  width: z.number().int().min(1),
  height: z.number().int().min(1),
  maximized: z.boolean(),
})

export type WindowState = z.infer<typeof stored>

const usual = { width: 1440, height: 920 }
const smallest = { width: 960, height: 640 }
const leastVisible = 120

/**
 * Where the window opens: as it was left, if enough of it lies on a present display, else in the middle of the first.
 * `text` is the stored JSON or null; anything that does not parse counts as none. Pixels.
 */
export function restoredState(text: string | null, displays: readonly Rectangle[]): WindowState {
  const left = parse(text)
  const onDisplay = left && displays.some((display) => visible(left, display))
  if (left && onDisplay)
    return { ...left, width: Math.max(left.width, smallest.width), height: Math.max(left.height, smallest.height) }
  const first = displays[0] ?? { x: 0, y: 0, ...usual }
  const width = Math.min(usual.width, first.width)
  const height = Math.min(usual.height, first.height)
  return {
    x: Math.round(first.x + (first.width - width) / 2),
    y: Math.round(first.y + (first.height - height) / 2),
    width,
    height,
    maximized: left?.maximized ?? false,
  }
}

/** The title bar must be reachable: enough of the top edge inside the display. */
function visible(window: Rectangle, display: Rectangle): boolean {
  const across = Math.min(window.x + window.width, display.x + display.width) - Math.max(window.x, display.x)
  return across >= leastVisible && window.y >= display.y && window.y <= display.y + display.height - leastVisible
}

function parse(text: string | null): WindowState | null {
  try {
    return stored.parse(JSON.parse(text ?? ''))
  } catch {
    return null
  }
}
