import { readFile } from 'node:fs/promises'
import { basename, extname } from 'node:path'
import { type Failure, fail, ok, type Result } from '../src/failure.ts'
import type { FileTicket, OpenKind, SaveKind, SaveRequest } from '../src/host/bridge.ts'
import { type AcceptedFile, acceptFile, openedExtensions, tableExtensions } from './accepted-file.ts'
import type { Log } from './log.ts'
import type { RecentFiles } from './recent-files.ts'
import { safeSave } from './safe-save.ts'
import type { Tokens } from './tokens.ts'

/** What only the system's own dialogs may ask or say. Paths; empty and null when the user said no. */
export interface Dialogs {
  choosePaths(what: OpenKind): Promise<readonly string[]>
  chooseSavePath(name: string, kind: SaveKind): Promise<string | null>
  /** Says that a chosen file cannot be opened, and why. */
  tell(failure: Failure): Promise<void>
}

export interface FileParts {
  readonly dialogs: Dialogs
  readonly tokens: Tokens
  readonly recent: RecentFiles
  /** Folder of our own where a save in progress is noted. */
  readonly journal: string
  readonly log: Log
}

export const endings: Readonly<Record<SaveKind, string>> = {
  case: '.floorline',
  lesson: '.floorlesson',
  stl: '.stl',
  ply: '.ply',
  csv: '.csv',
  json: '.json',
  html: '.html',
  pdf: '.pdf',
  png: '.png',
  svg: '.svg',
  zip: '.zip',
}

/** Opening and saving, with tokens in place of paths. Every path goes through `acceptFile`, wherever it came from. */
export function fileService({ dialogs, tokens, recent, journal, log }: FileParts) {
  async function take(path: string, extensions: readonly string[] = openedExtensions): Promise<Result<FileTicket>> {
    const accepted = await acceptFile(path, extensions)
    if (!accepted.ok) {
      log({ what: 'failed', code: accepted.failure.code })
      return accepted
    }
    log({ what: 'opened', bytes: accepted.value.sizeBytes })
    if (isCase(accepted.value.path)) await recent.add(accepted.value.path)
    return ok(ticketOf(accepted.value))
  }

  function ticketOf(file: AcceptedFile): FileTicket {
    return { token: tokens.tokenFor(file.path), name: file.name, sizeBytes: file.sizeBytes }
  }

  return {
    take,

    /** All of several paths that can be taken, and the names of those that cannot. */
    async takeAll(paths: readonly string[]): Promise<{ files: FileTicket[]; refused: string[] }> {
      const files: FileTicket[] = []
      const refused: string[] = []
      for (const path of paths) {
        const taken = await take(path)
        if (taken.ok) files.push(taken.value)
        else refused.push(basename(path))
      }
      return { files, refused }
    },

    /** Asks for files; says of each that cannot be opened why, and gives the others. */
    async choose(what: OpenKind): Promise<Result<readonly FileTicket[]>> {
      const tickets: FileTicket[] = []
      for (const path of await dialogs.choosePaths(what)) {
        const taken = await take(path, what === 'table' ? tableExtensions : openedExtensions)
        if (taken.ok) tickets.push(taken.value)
        else await dialogs.tell(taken.failure)
      }
      return ok(tickets)
    },

    async reopen(token: string): Promise<Result<FileTicket>> {
      const path = tokens.pathOf(token)
      return path === null ? unknownToken() : take(path)
    },

    /** The bytes behind a token, looked at again before they are read; null when there are none to give. */
    async read(token: string): Promise<Uint8Array<ArrayBuffer> | null> {
      const path = tokens.pathOf(token)
      const accepted = path === null ? null : await acceptFile(path, [...openedExtensions, ...tableExtensions])
      if (!accepted?.ok) return null
      const bytes = await readFile(accepted.value.path).catch(() => null)
      return bytes && new Uint8Array(bytes.buffer as ArrayBuffer, bytes.byteOffset, bytes.byteLength)
    },

    /** Saves where the token says, else where the user says. Only a path of the same kind is ever written over. */
    async save({ token, name, kind, bytes }: SaveRequest): Promise<Result<FileTicket | null>> {
      const known = token === null ? null : tokens.pathOf(token)
      if (token !== null && known === null) return unknownToken()
      if (known !== null && extname(known).toLowerCase() !== endings[kind])
        return fail('format/unsupported', 'This file is of another kind and is left as it is.')
      const chosen = known ?? (await dialogs.chooseSavePath(withEnding(name, kind), kind))
      if (chosen === null) return ok(null)
      const path = withEnding(chosen, kind)
      try {
        await safeSave(path, bytes, journal, kind === 'case')
      } catch (problem) {
        log({ what: 'failed', code: 'file/unreadable' })
        return fail('file/unreadable', `The file could not be written${reason(problem)}.`, {
          hint: 'Nothing was changed on disk. Save somewhere else.',
        })
      }
      log({ what: 'saved', bytes: bytes.byteLength })
      if (kind === 'case') await recent.add(path)
      return ok({ token: tokens.tokenFor(path), name: basename(path), sizeBytes: bytes.byteLength })
    },
  }
}

export type FileService = ReturnType<typeof fileService>

function isCase(path: string): boolean {
  return extname(path).toLowerCase() === endings.case
}

function withEnding(path: string, kind: SaveKind): string {
  return extname(path).toLowerCase() === endings[kind] ? path : path + endings[kind]
}

function unknownToken() {
  return fail('file/unreadable', 'This file is no longer known.', { hint: 'Open it again.' })
}

/** The system's word for the commonest reasons; never its message, which carries the path. */
function reason(problem: unknown): string {
  const code = (problem as { readonly code?: unknown }).code
  if (code === 'ENOSPC') return ': the disk is full'
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return ': writing there is not allowed'
  return ''
}
