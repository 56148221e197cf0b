import { createHash } from 'node:crypto'
import { copyFile, link, mkdir, open, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

const temporaryName = /^\..+\.(?:saving|backing)$/
const queues = new Map<string, Promise<void>>()

/**
 * Writes a whole file so that a process killed at any moment leaves either the old bytes or the new ones, never a part:
 * written aside in the same folder, flushed, renamed. The former file stays beside it as one `.bak`. `journal` is a
 * folder of our own that remembers which temporary file is being written, so that `sweepInterrupted` can clear it away
 * after a crash. Saves of the same file queue up. Rejects with the system's error; the old file is then untouched.
 */
export function safeSave(path: string, bytes: Uint8Array, journal: string, keepBackup = true): Promise<void> {
  const turn = (queues.get(path) ?? Promise.resolve()).then(() => save(path, bytes, journal, keepBackup))
  const settled = turn.catch(() => undefined)
  queues.set(path, settled)
  void settled.then(() => {
    if (queues.get(path) === settled) queues.delete(path)
  })
  return turn
}

/** Removes what interrupted saves left behind; run at start, before anything is saved. */
export async function sweepInterrupted(journal: string): Promise<void> {
  for (const name of await readdir(journal).catch(() => [])) {
    const note = join(journal, name)
    const paths = (await readFile(note, 'utf8').catch(() => '')).split('\n')
    for (const path of paths)
      if (temporaryName.test(basename(path))) await rm(path, { force: true }).catch(() => undefined)
    await rm(note, { force: true })
  }
}

async function save(path: string, bytes: Uint8Array, journal: string, keepBackup: boolean): Promise<void> {
  const aside = (ending: string) => join(dirname(path), `.${basename(path)}.${ending}`)
  const temporary = aside('saving')
  const backing = aside('backing')
  const note = join(journal, createHash('sha256').update(path).digest('hex').slice(0, 32))
  const former = await stat(path).catch(() => null)
  await mkdir(journal, { recursive: true, mode: 0o700 })
  await writeFile(note, `${temporary}\n${backing}`, { mode: 0o600 })
  try {
    await writeFlushed(temporary, bytes, former?.mode)
    if (former && keepBackup) {
      await rm(backing, { force: true })
      await link(path, backing).catch(() => copyFile(path, backing))
      await renameOver(backing, `${path}.bak`)
    }
    await renameOver(temporary, path)
    await flushFolder(dirname(path))
  } finally {
    await rm(temporary, { force: true })
    await rm(backing, { force: true })
    await rm(note, { force: true })
  }
}

async function writeFlushed(path: string, bytes: Uint8Array, mode: number | undefined): Promise<void> {
  await rm(path, { force: true })
  const file = await open(path, 'wx', mode === undefined ? 0o666 : mode & 0o777)
  try {
    await file.writeFile(bytes)
    await file.sync()
  } finally {
    await file.close()
  }
}

/** Windows refuses a rename while a scanner or an indexer holds the target for a moment. */
async function renameOver(from: string, to: string): Promise<void> {
  for (let attempt = 0; ; attempt++) {
    try {
      return await rename(from, to)
    } catch (problem) {
      if (attempt === 8 || process.platform !== 'win32') throw problem
      await new Promise((resolve) => setTimeout(resolve, 20 * 2 ** attempt))
    }
  }
}

/** After the rename the folder itself must reach the disk; systems that cannot open a folder do without. */
async function flushFolder(folder: string): Promise<void> {
  if (process.platform === 'win32') return
  const handle = await open(folder, 'r').catch(() => null)
  await handle?.sync().catch(() => undefined)
  await handle?.close()
}
