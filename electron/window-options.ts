import type { BrowserWindowConstructorOptions, Rectangle } from 'electron'

/** The one origin the window's content comes from. */
export const scheme = 'app'
export const origin = 'app://bundle'
export const startAddress = `${origin}/`

/** What makes the window safe; asserted word for word by a test. `preload` is the path of the built preload file. */
export function safePreferences(preload: string) {
  return {
    preload,
    contextIsolation: true,
    sandbox: true,
    nodeIntegration: false,
    nodeIntegrationInWorker: false,
    nodeIntegrationInSubFrames: false,
    webviewTag: false,
    webSecurity: true,
    allowRunningInsecureContent: false,
    experimentalFeatures: false,
    navigateOnDragDrop: false,
    spellcheck: false,
    safeDialogs: true,
  } as const
}

/** The whole of the main window's options. Hidden until drawn, so that no white flash shows. */
export function windowOptions(preload: string, bounds: Rectangle): BrowserWindowConstructorOptions {
  return {
    ...bounds,
    minWidth: 960,
    minHeight: 640,
    show: false,
    title: 'Floorline',
    backgroundColor: '#f6f2ea',
    webPreferences: safePreferences(preload),
  }
}
