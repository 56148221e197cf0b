import { randomBytes } from 'node:crypto'
import { mkdir, readdir, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { fail, ok, type Result } from '../src/failure.ts'
import type { RecoveryFile } from '../src/host/bridge.ts'
import type { Log } from './log.ts'
import { safeSave } from './safe-save.ts'
import type { Tokens } from './tokens.ts'

const ending = '.floorline'

/**
 * Unsaved work, kept in the user's own data folder and never over the user's file. Each run of the program writes one
 * recovery file; those of earlier runs are what a crash left, and are offered at the next start. `folder` is readable by
 * this user alone.
 */
export function recovery(folder: string, journal: string, tokens: Tokens, log: Log) {
  const own = join(folder, `${Date.now().toString(36)}-${randomBytes(4).toString('hex')}${ending}`)
  return {
    async write(bytes: Uint8Array): Promise<Result<void>> {
      try {
        await mkdir(folder, { recursive: true, mode: 0o700 })
        await safeSave(own, bytes, journal, false)
      } catch {
        log({ what: 'failed', code: 'file/unreadable' })
        return fail('file/unreadable', 'Unsaved work could not be kept for recovery.', { hint: 'Save the case now.' })
      }
      log({ what: 'recovery-written', bytes: bytes.byteLength })
      return ok(undefined)
    },

    /** What earlier runs left, newest first. */
    async list(): Promise<readonly RecoveryFile[]> {
      const names = (await readdir(folder).catch(() => [])).filter(
        (name) => name.endsWith(ending) && !name.startsWith('.'),
      )
      const files: RecoveryFile[] = []
      for (const path of names.map((name) => join(folder, name))) {
        const info = path === own ? null : await stat(path).catch(() => null)
        if (!info?.isFile()) continue
        files.push({ token: tokens.tokenFor(path), savedAt: info.mtime.toISOString(), sizeBytes: info.size })
      }
      return files.sort((a, b) => b.savedAt.localeCompare(a.savedAt))
    },

    /** Removes one of these files; a token of anything outside the folder removes nothing. */
    async discard(token: string | null): Promise<void> {
      const path = token === null ? own : tokens.pathOf(token)
      if (path !== null && join(folder, path.slice(folder.length + 1)) === path && path.endsWith(ending))
        await rm(path, { force: true })
    },
  }
}

export type Recovery = ReturnType<typeof recovery>
