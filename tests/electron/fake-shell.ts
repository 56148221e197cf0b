import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { IpcMain } from 'electron'
import { type Arrivals, arrivals } from '../../electron/arrivals.ts'
import { type Dialogs, fileService } from '../../electron/file-service.ts'
import type { LogEvent } from '../../electron/log.ts'
import { recentFiles } from '../../electron/recent-files.ts'
import { recovery } from '../../electron/recovery.ts'
import { registerIpc } from '../../electron/register-ipc.ts'
import { type Desktop, services } from '../../electron/services.ts'
import { Tokens } from '../../electron/tokens.ts'
import { type ClosingAnswer, closingGuard } from '../../electron/unsaved.ts'
import type { Failure } from '../../src/failure.ts'
import type { Bridge } from '../../src/host/bridge.ts'
import { exposed, forgetHandlers, ipcMain, sender, sendToWindow } from './stub.ts'

/** A whole shell without Electron's binary: the real preload, the real IPC and the real services, on a folder of its own. */
export interface FakeShell {
  readonly bridge: Bridge
  readonly folder: string
  readonly log: LogEvent[]
  readonly told: Failure[]
  readonly done: string[]
  readonly arrived: Arrivals
  readonly read: (token: string) => Promise<Uint8Array | null>
  readonly wishToClose: () => Promise<void>
  /** What the next dialogs answer. */
  readonly next: { paths: readonly string[]; savePath: string | null; closing: ClosingAnswer }
  remove(): void
}

export async function fakeShell(folder = mkdtempSync(join(tmpdir(), 'floorline-shell-'))): Promise<FakeShell> {
  forgetHandlers()
  const log: LogEvent[] = []
  const told: Failure[] = []
  const done: string[] = []
  const next: FakeShell['next'] = { paths: [], savePath: null, closing: 'Cancel' }
  const note = (event: LogEvent) => void log.push(event)
  const tokens = new Tokens()
  const journal = join(folder, 'own', 'saving')
  const dialogs: Dialogs = {
    choosePaths: async () => next.paths,
    chooseSavePath: async () => next.savePath,
    tell: async (failure) => void told.push(failure),
  }
  const desktop: Desktop = {
    setFullScreen: (on) => void done.push(`full screen ${on}`),
    showMenu: (menu) => void done.push(`menu ${menu.map((section) => section.label).join(' ')}`),
    printPaper: async () => true,
    printPdf: async () => new TextEncoder().encode('%PDF-'),
    copyPicture: async (png) => png.length > 0,
  }
  const recent = recentFiles(join(folder, 'own', 'recent.json'), journal, tokens, () => undefined)
  const files = fileService({ dialogs, tokens, recent, journal, log: note })
  const arrived = arrivals(files.takeAll, (arrival) => sendToWindow('files:arrived', arrival))
  const unsavedWork = recovery(join(folder, 'own', 'recovery'), journal, tokens, note)
  const closing = closingGuard({
    ask: async () => next.closing,
    saveThenClose: () => sendToWindow('window:save-and-close', null),
    discardRecovery: () => unsavedWork.discard(null),
    destroy: () => void done.push('destroyed'),
  })
  const parts = { files, recent, recovery: unsavedWork, closing, arrivals: arrived, desktop }
  const ours = sender.current.sender
  registerIpc(ipcMain as unknown as IpcMain, services(parts), (event) => (event.sender as unknown) === ours, note)
  await import('../../electron/preload.ts')
  return {
    bridge: exposed.get('floorline') as Bridge,
    folder,
    log,
    told,
    done,
    arrived,
    read: files.read,
    wishToClose: closing.wishToClose,
    next,
    remove: () => rmSync(folder, { recursive: true, force: true }),
  }
}
