import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import type { BrowserWindow, BrowserWindowConstructorOptions, Screen } from 'electron'
import { startAddress, windowOptions } from './window-options.ts'
import { restoredState } from './window-state.ts'

export interface WindowParts {
  create(options: BrowserWindowConstructorOptions): BrowserWindow
  readonly screen: Screen
  readonly preload: string
  /** Where the window's place and size are remembered. */
  readonly stateFile: string
}

/** The one window: opened where it was left, shown when drawn, its place remembered when it closes. */
export function openMainWindow({ create, screen, preload, stateFile }: WindowParts): BrowserWindow {
  const state = restoredState(
    readText(stateFile),
    screen.getAllDisplays().map((display) => display.workArea),
  )
  const { maximized, ...bounds } = state
  const window = create(windowOptions(preload, bounds))
  if (maximized) window.maximize()
  window.once('ready-to-show', () => window.show())
  window.on('close', () => remember(stateFile, { ...window.getNormalBounds(), maximized: window.isMaximized() }))
  void window.loadURL(startAddress)
  return window
}

function remember(file: string, state: object): void {
  try {
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(file, JSON.stringify(state))
  } catch {
    // Losing the window's place is no reason to stop it from closing.
  }
}

function readText(file: string): string | null {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return null
  }
}
