import { fail, ok, type Result } from '../failure.ts'
import type { Bridge, FileTicket, SaveKind } from './bridge.ts'
import { browserHost } from './browser-host.ts'
import type { Host } from './host.ts'

const kindOfEnding: Readonly<Record<string, SaveKind>> = {
  floorline: 'case',
  floorlesson: 'lesson',
  stl: 'stl',
  ply: 'ply',
  csv: 'csv',
  json: 'json',
  html: 'html',
  pdf: 'pdf',
  png: 'png',
  svg: 'svg',
  zip: 'zip',
}

/** The program in its own desktop window: the system's dialogs and printer, through the bridge of the shell. */
export const desktopHost = (bridge: Bridge): Host => ({
  ...browserHost(),
  kind: 'desktop',
  chooseFiles: async (what = 'any') => {
    const chosen = await bridge.chooseFiles(what)
    const files = chosen.ok ? await Promise.all(chosen.value.map(fileOfTicket)) : []
    return files.flatMap((file) => (file.ok ? [file.value] : []))
  },
  save: async (name, bytes, _type, token = null) => {
    const kind = kindOfEnding[name.split('.').at(-1)!.toLowerCase()]
    if (!kind) return fail('format/unsupported', `Files like ${name} cannot be saved from here.`)
    const data = typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes
    const saved = await bridge.save({ token, name, kind, bytes: data })
    return saved.ok ? ok(saved.value && { token: saved.value.token }) : saved
  },
  recent: () => bridge.recentFiles(),
  reopen: async (token) => {
    const ticket = await bridge.reopen(token)
    return ticket.ok ? fileOfTicket(ticket.value) : ticket
  },
  forgetRecent: () => bridge.forgetRecentFiles(),
  keepRecovery: (bytes) => bridge.writeRecovery(bytes),
  recoveries: () => bridge.recoveries(),
  recovered: (token) => fileOfTicket({ token, name: 'recovered.floorline', sizeBytes: 0 }),
  discardRecovery: (token) => bridge.discardRecovery(token),
  setUnsaved: (unsaved, name) => void bridge.setUnsaved(unsaved, name),
  print: () => bridge.printPaper(),
  savePdf: async (name) => {
    const saved = await bridge.printPdf(name)
    return saved.ok ? ok(undefined) : saved
  },
  copyPicture: (png) => bridge.copyPicture(png),
  setFullScreen: (on) => void bridge.setFullScreen(on),
})

/** Fetches the bytes of a ticket on the window's own origin, so that they never cross the process boundary as a message. */
export async function fileOfTicket(ticket: FileTicket): Promise<Result<File>> {
  try {
    const response = await fetch(`/file/${ticket.token}`)
    if (response.ok) return ok(new File([await response.blob()], ticket.name))
  } catch {
    // An unreachable file and a missing one mean the same here.
  }
  return fail('file/unreadable', 'The file is not there or may not be read.', { place: ticket.name })
}
