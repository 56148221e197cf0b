import { fail, ok } from '../src/failure.ts'
import type { MenuSection } from '../src/host/bridge.ts'
import type { Arrivals } from './arrivals.ts'
import type { Services } from './contract.ts'
import type { FileService } from './file-service.ts'
import type { RecentFiles } from './recent-files.ts'
import type { Recovery } from './recovery.ts'
import type { ClosingGuard } from './unsaved.ts'

/** What only the desktop can do, apart from Electron so that the services can be tested without it. */
export interface Desktop {
  setFullScreen(on: boolean): void
  showMenu(menu: readonly MenuSection[]): void
  /** False when nothing was printed; cancelling is no failure and counts as true. */
  printPaper(): Promise<boolean>
  printPdf(): Promise<Uint8Array>
  /** False when the bytes are no picture. */
  copyPicture(png: Uint8Array): Promise<boolean>
}

export interface ServiceParts {
  readonly files: FileService
  readonly recent: RecentFiles
  readonly recovery: Recovery
  readonly closing: ClosingGuard
  readonly arrivals: Arrivals
  readonly desktop: Desktop
}

/** One function per channel, each a line over the part that does the work. */
export function services({ files, recent, recovery, closing, arrivals, desktop }: ServiceParts): Services {
  return {
    'files:choose': ({ what }) => files.choose(what),
    'files:dropped': ({ path }) => files.take(path),
    'files:waiting': () => arrivals.collect(),
    'files:recent': () => recent.list(),
    'files:forget-recent': () => recent.forget(),
    'files:reopen': ({ token }) => files.reopen(token),
    'files:save': (request) => files.save(request),
    'recovery:write': ({ bytes }) => recovery.write(bytes),
    'recovery:list': () => recovery.list(),
    'recovery:discard': ({ token }) => recovery.discard(token),
    'window:unsaved': async ({ unsaved, name }) => closing.setUnsaved(unsaved, name),
    'window:close': () => closing.finish(),
    'window:full-screen': async ({ on }) => desktop.setFullScreen(on),
    'menu:show': async ({ menu }) => desktop.showMenu(menu),
    'print:paper': async () =>
      (await desktop.printPaper())
        ? ok(undefined)
        : fail('file/unreadable', 'Nothing was printed.', { hint: 'Save the report as PDF instead.' }),
    'print:pdf': async ({ name }) => files.save({ token: null, name, kind: 'pdf', bytes: await desktop.printPdf() }),
    'clipboard:picture': async ({ png }) =>
      (await desktop.copyPicture(png)) ? ok(undefined) : fail('format/unknown', 'This is not a picture.'),
  }
}
