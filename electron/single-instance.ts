import type { App, BrowserWindow } from 'electron'
import { filesAmong } from './arguments.ts'
import type { Arrivals } from './arrivals.ts'

/** A second start hands its files to the first and ends; the system's `open-file` takes the same way in. */
export function setupSingleInstance(app: App, arrived: Arrivals, window: () => BrowserWindow | null): void {
  if (!app.requestSingleInstanceLock()) {
    app.exit(0)
    return
  }
  app.on('second-instance', (_event, argv, folder) => {
    const main = window()
    if (main?.isMinimized()) main.restore()
    main?.focus()
    void arrived.bring(filesAmong(argv, app.isPackaged, folder))
  })
  app.on('open-file', (event, path) => {
    event.preventDefault()
    void arrived.bring([path])
  })
}
