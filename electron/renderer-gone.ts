import type { App, BrowserWindow } from 'electron'
import type { Log } from './log.ts'

const livedLongEnoughMs = 30_000

/**
 * A window whose process has died is useless: the program starts anew and offers the recovery file. One that died right
 * after its start would only die again: then the program ends.
 */
export function setupRendererGone(app: App, window: BrowserWindow, log: Log, now: () => number = Date.now): void {
  const born = now()
  window.webContents.on('render-process-gone', (_event, details) => {
    if (details.reason === 'clean-exit') return
    log({ what: 'renderer-gone' })
    if (now() - born > livedLongEnoughMs) app.relaunch()
    app.exit(1)
  })
}
