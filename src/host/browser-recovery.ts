import { fail, ok, type Result } from '../failure.ts'
import { browserStore } from './browser-database.ts'
import type { RecoveryEntry } from './host.ts'

const shelf = browserStore('floorline', 'recovery', 'token')

interface Kept {
  readonly token: string
  readonly savedAt: string
  /** A Blob: the browser keeps it outside, where storing it does not hold up the window. */
  readonly bytes: Blob
}

/** This run's own entry; those of other runs are what a crash or a closed tab left. */
const ownToken = crypto.randomUUID()

/** Keeps unsaved work in the browser's own database, which survives a crash of the page. */
export async function keepRecovery(bytes: Uint8Array<ArrayBuffer>): Promise<Result<void>> {
  const kept: Kept = { token: ownToken, savedAt: new Date().toISOString(), bytes: new Blob([bytes]) }
  const done = await work('readwrite', (store) => store.put(kept))
  return done.ok ? ok(undefined) : done
}

export async function recoveries(): Promise<readonly RecoveryEntry[]> {
  const all = await work<Kept[]>('readonly', (store) => store.getAll())
  if (!all.ok) return []
  return all.value
    .filter((kept) => kept.token !== ownToken)
    .map(({ token, savedAt }) => ({ token, savedAt }))
    .sort((a, b) => b.savedAt.localeCompare(a.savedAt))
}

export async function recovered(token: string): Promise<Result<File>> {
  const kept = await work<Kept | undefined>('readonly', (store) => store.get(token))
  if (!kept.ok) return kept
  if (!kept.value) return fail('file/unreadable', 'That unsaved work is no longer there.')
  return ok(new File([kept.value.bytes], 'recovered.floorline'))
}

export async function discardRecovery(token: string | null): Promise<void> {
  await work('readwrite', (store) => store.delete(token ?? ownToken))
}

async function work<T>(mode: IDBTransactionMode, ask: (store: IDBObjectStore) => IDBRequest): Promise<Result<T>> {
  try {
    return ok(await shelf.work<T>(mode, ask))
  } catch {
    return fail('file/unreadable', 'Unsaved work could not be kept for recovery.', { hint: 'Save the case now.' })
  }
}
