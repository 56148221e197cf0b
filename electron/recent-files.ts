import { mkdir, readFile, stat } from 'node:fs/promises'
import { basename, dirname } from 'node:path'
import { z } from 'zod'
import type { RecentFile } from '../src/host/bridge.ts'
import { safeSave } from './safe-save.ts'
import type { Tokens } from './tokens.ts'

const most = 10
const stored = z.array(z.string().min(1).max(4096)).max(100)

export interface RecentFiles {
  list(): Promise<readonly RecentFile[]>
  add(path: string): Promise<void>
  forget(): Promise<void>
}

/** The last ten case files, newest first, kept in a file of our own; one that has gone missing stays and says so. */
export function recentFiles(
  file: string,
  journal: string,
  tokens: Tokens,
  onChange: (paths: readonly string[]) => void,
): RecentFiles {
  const write = async (paths: readonly string[]) => {
    await mkdir(dirname(file), { recursive: true })
    await safeSave(file, new TextEncoder().encode(JSON.stringify(paths)), journal, false)
    onChange(paths)
  }
  const read = async (): Promise<readonly string[]> => {
    try {
      return stored.parse(JSON.parse(await readFile(file, 'utf8')))
    } catch {
      return []
    }
  }
  return {
    async list() {
      const paths = await read()
      return Promise.all(
        paths.map(async (path) => ({
          token: tokens.tokenFor(path),
          name: basename(path),
          present: await stat(path).then(
            (info) => info.isFile(),
            () => false,
          ),
        })),
      )
    },
    async add(path) {
      await write([path, ...(await read()).filter((other) => other !== path)].slice(0, most))
    },
    forget: () => write([]),
  }
}
