import {
  closeSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs'
import { basename, join } from 'node:path'
import { fail, ok, type Result } from '../failure.ts'

/** Files larger than this are refused before they are read: 2 GiB. */
const largestBytes = 2 ** 31

/** All bytes of a regular file. */
export function readBytes(path: string): Result<Uint8Array> {
  try {
    const about = statSync(path)
    if (!about.isFile()) return fail('file/unreadable', 'This is not a file.', { place: path })
    if (about.size >= largestBytes)
      return fail('file/too-large', 'The file is larger than 2 GiB.', { hint: 'Decimate the mesh first.', place: path })
    return ok(new Uint8Array(readFileSync(path)))
  } catch (error) {
    const missing = (error as NodeJS.ErrnoException).code === 'ENOENT'
    return fail('file/unreadable', missing ? 'There is no such file.' : 'The file cannot be read.', { place: path })
  }
}

/**
 * Writes files into a folder, which is made when missing: each first beside its place, then renamed. Without `force`
 * nothing at all is written when one of the names is taken.
 */
export function writeAll(
  folder: string,
  files: ReadonlyMap<string, Uint8Array | string>,
  force: boolean,
): Result<readonly string[]> {
  const paths = [...files.keys()].map((name) => join(folder, basename(name)))
  const taken = force ? [] : paths.filter((path) => existsSync(path))
  if (taken.length > 0)
    return fail('file/exists', `${taken.length === 1 ? 'A file' : `${taken.length} files`} would be overwritten.`, {
      hint: 'Choose another folder or add --force.',
      place: taken[0] ?? folder,
    })
  try {
    mkdirSync(folder, { recursive: true })
    for (const [name, content] of files) replaceFile(join(folder, basename(name)), content)
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    return fail('file/unreadable', `Writing failed: ${reason}`, { place: folder })
  }
  return ok(paths)
}

/** Writes one file whole or not at all. */
export function writeOne(path: string, content: Uint8Array | string, force: boolean): Result<string> {
  if (!force && existsSync(path))
    return fail('file/exists', 'The file exists already.', { hint: 'Choose another name or add --force.', place: path })
  try {
    replaceFile(path, content)
    return ok(path)
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error)
    return fail('file/unreadable', `Writing failed: ${reason}`, { place: path })
  }
}

function replaceFile(path: string, content: Uint8Array | string): void {
  const beside = `${path}.${process.pid}.part`
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content
  try {
    const handle = openSync(beside, 'w')
    try {
      for (let done = 0; done < bytes.length; ) done += writeSync(handle, bytes, done, bytes.length - done)
      fsyncSync(handle)
    } finally {
      closeSync(handle)
    }
    renameSync(beside, path)
  } catch (error) {
    rmSync(beside, { force: true })
    throw error
  }
}
