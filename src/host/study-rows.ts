import type { StudyCell } from '../studies/sweep.ts'
import { browserStore } from './browser-database.ts'

const rows = browserStore('floorline-studies', 'rows', ['key', 'index'])
/** Interrupted studies that are kept; the oldest give way. */
const mostStudies = 8

interface Kept {
  readonly key: string
  readonly index: number
  readonly keptAt: string
  readonly row: readonly StudyCell[]
}

/** Rows that a study of this key had when it was interrupted; none where nothing was kept or the store refuses. */
export async function knownRows(key: string): Promise<ReadonlyMap<number, readonly StudyCell[]>> {
  const all = (await work<Kept[]>('readonly', (store) => store.getAll(ofStudy(key)))) ?? []
  return new Map(all.map(({ index, row }) => [index, row]))
}

/** Keeps one row until its study is done. Not keeping it costs time after an interruption, nothing else. */
export async function keepRow(key: string, index: number, row: readonly StudyCell[]): Promise<void> {
  const kept: Kept = { key, index, keptAt: new Date().toISOString(), row }
  await work('readwrite', (store) => store.put(kept))
}

/** Lets go of a finished study, and of the oldest interrupted ones beyond a few. */
export async function forgetRows(key: string): Promise<void> {
  await work('readwrite', (store) => store.delete(ofStudy(key)))
  const left = (await work<Kept[]>('readonly', (store) => store.getAll())) ?? []
  const newest = new Map<string, string>()
  for (const kept of left) if ((newest.get(kept.key) ?? '') < kept.keptAt) newest.set(kept.key, kept.keptAt)
  const oldFirst = [...newest].sort(([, a], [, b]) => (a < b ? -1 : 1)).map(([old]) => old)
  for (const old of oldFirst.slice(0, Math.max(0, oldFirst.length - mostStudies)))
    await work('readwrite', (store) => store.delete(ofStudy(old)))
}

const ofStudy = (key: string): IDBKeyRange => IDBKeyRange.bound([key, 0], [key, Number.MAX_SAFE_INTEGER])

async function work<T>(mode: IDBTransactionMode, ask: (store: IDBObjectStore) => IDBRequest): Promise<T | null> {
  try {
    return await rows.work<T>(mode, ask)
  } catch {
    return null
  }
}
