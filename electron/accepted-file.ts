import { realpath, stat } from 'node:fs/promises'
import { basename, extname, isAbsolute } from 'node:path'
import { fail, ok, type Result } from '../src/failure.ts'

/** The kinds of file the program opens. */
export const openedExtensions = ['.stl', '.ply', '.floorline', '.floorlesson'] as const

/** Tables that a dialog for tables may open; never dropped, passed or double-clicked. */
export const tableExtensions = ['.csv', '.json'] as const

/** Larger files are refused before a byte is read: they could not be held in memory beside their mesh. */
export const largestFileBytes = 2_000_000_000

export interface AcceptedFile {
  /** With links followed. Never leaves the main process. */
  readonly path: string
  readonly name: string
  readonly sizeBytes: number
}

/**
 * Looks at a path the user chose, dropped or passed on the command line, before anything reads it: absolute, no network
 * or device path, one of our extensions (after links are followed too), a regular file, not too large. The one gate for
 * dialog, drop, arguments and the system's `open-file`.
 */
export async function acceptFile(
  path: string,
  extensions: readonly string[] = openedExtensions,
): Promise<Result<AcceptedFile>> {
  if (!isAbsolute(path) || path.includes('\0') || /^(?:\\\\|\/\/|\/dev\/|\/proc\/|\/sys\/)/.test(path))
    return fail('file/unreadable', 'This place cannot be opened.', { hint: 'Copy the file to a folder of your own.' })
  const real = await realpath(path).catch(() => null)
  const info = real === null ? null : await stat(real).catch(() => null)
  const name = basename(path)
  if (real === null || info === null) return fail('file/unreadable', 'The file is not there or may not be read.')
  if (!hasExtension(name, extensions) || !hasExtension(real, extensions))
    return fail('format/unsupported', `Only ${extensions.join(', ')} files can be opened.`, { place: name })
  if (!info.isFile()) return fail('file/unreadable', 'This is not a file.', { place: name })
  if (info.size > largestFileBytes)
    return fail('file/too-large', 'The file is larger than 2 GB.', { hint: 'Reduce the mesh first.', place: name })
  return ok({ path: real, name, sizeBytes: info.size })
}

const hasExtension = (path: string, extensions: readonly string[]): boolean =>
  extensions.includes(extname(path).toLowerCase())
