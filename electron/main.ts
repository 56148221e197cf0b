import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import {
  app,
  BrowserWindow,
  ClipboardItem,
  clipboard,
  dialog,
  type IpcMainInvokeEvent,
  ipcMain,
  Menu,
  protocol,
  screen,
  session,
} from 'electron'
import { registerScheme, setupAppScheme } from './app-scheme.ts'
import { filesAmong } from './arguments.ts'
import { arrivals } from './arrivals.ts'
import { electronDesktop } from './desktop.ts'
import { askAboutUnsaved, nativeDialogs } from './dialogs.ts'
import { fileService } from './file-service.ts'
import { fileLog } from './log.ts'
import { openMainWindow } from './main-window.ts'
import { setupNoNavigation } from './navigation.ts'
import { setupNoBackgroundTraffic, setupNoNetwork } from './network.ts'
import { setupNoPermissions } from './permissions.ts'
import { recentFiles } from './recent-files.ts'
import { recovery } from './recovery.ts'
import { registerIpc } from './register-ipc.ts'
import { setupRendererGone } from './renderer-gone.ts'
import { sweepInterrupted } from './safe-save.ts'
import { services } from './services.ts'
import { setupSingleInstance } from './single-instance.ts'
import { Tokens } from './tokens.ts'
import { closingGuard } from './unsaved.ts'

const built = dirname(fileURLToPath(import.meta.url))
const own = (name: string) => join(app.getPath('userData'), name)
const journal = own('saving')
const log = fileLog(own('logs/floorline.log'))
const tokens = new Tokens()
let main: BrowserWindow | null = null

const window = (): BrowserWindow => {
  if (!main) throw new Error('The window was asked for before it was opened.')
  return main
}

const recent = recentFiles(own('recent.json'), journal, tokens, (paths) => {
  app.clearRecentDocuments()
  for (const path of [...paths].reverse()) app.addRecentDocument(path)
})
const files = fileService({ dialogs: nativeDialogs(dialog, window), tokens, recent, journal, log })
const unsavedWork = recovery(own('recovery'), journal, tokens, log)
const arrived = arrivals(files.takeAll, (arrival) => window().webContents.send('files:arrived', arrival))
const closing = closingGuard({
  ask: (name) => askAboutUnsaved(dialog, window(), name),
  saveThenClose: () => window().webContents.send('window:save-and-close', null),
  discardRecovery: () => unsavedWork.discard(null),
  destroy: () => window().destroy(),
})

if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox()
setupNoBackgroundTraffic(app)
registerScheme(protocol)
setupNoNavigation(app)
setupSingleInstance(app, arrived, () => main)
app.on('window-all-closed', () => app.quit())
void app.whenReady().then(open)

async function open(): Promise<void> {
  log({ what: 'started' })
  Menu.setApplicationMenu(null)
  setupNoNetwork(session.defaultSession)
  setupNoPermissions(session.defaultSession)
  setupAppScheme(
    session.defaultSession,
    { windowFolder: join(built, '..', 'window'), demoFolder: join(built, '..', 'demo') },
    files.read,
  )
  setupIpc()
  await sweepInterrupted(journal)
  await arrived.bring(filesAmong(process.argv, app.isPackaged, process.cwd()))
  main = openMainWindow({
    create: (options) => new BrowserWindow(options),
    screen,
    preload: join(built, 'preload.cjs'),
    stateFile: own('window.json'),
  })
  main.on('close', (event) => {
    event.preventDefault()
    void closing.wishToClose()
  })
  setupRendererGone(app, main, log)
}

function setupIpc(): void {
  const desktop = electronDesktop({
    window,
    menu: Menu,
    copyPng: (png) => clipboard.write([new ClipboardItem({ 'image/png': png })]),
    platform: process.platform,
  })
  const isOurWindow = (event: IpcMainInvokeEvent) => main !== null && event.sender === main.webContents
  const parts = { files, recent, recovery: unsavedWork, closing, arrivals: arrived, desktop }
  registerIpc(ipcMain, services(parts), isOurWindow, log)
}
