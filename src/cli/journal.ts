import { appendFileSync, closeSync, existsSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import type { StudyCell } from '../studies/sweep.ts'

/** Rows of an interrupted study, kept beside its output until it is done. */
export interface Journal {
  readonly known: ReadonlyMap<number, readonly StudyCell[]>
  readonly add: (index: number, row: readonly StudyCell[]) => void
  readonly remove: () => void
}

/**
 * Opens the journal of a study at `path`. Rows of an earlier run count only when its key (a hash of everything the
 * rows depend on) is the same; a last line cut off by a kill is dropped.
 */
export function openJournal(path: string, key: string): Journal {
  const known = readKnown(path, key)
  if (known.size === 0) writeFileSync(path, `${JSON.stringify({ key })}\n`)
  else rewrite(path, key, known)
  const handle = openSync(path, 'a')
  let open = true
  return {
    known,
    add: (index, row) => appendFileSync(handle, `${JSON.stringify([index, row])}\n`),
    remove: () => {
      if (open) closeSync(handle)
      open = false
      rmSync(path, { force: true })
    },
  }
}

function readKnown(path: string, key: string): Map<number, readonly StudyCell[]> {
  const known = new Map<number, readonly StudyCell[]>()
  if (!existsSync(path)) return known
  const [head, ...lines] = readFileSync(path, 'utf8').split('\n')
  if (head !== JSON.stringify({ key })) return known
  for (const line of lines) {
    try {
      const [index, row] = JSON.parse(line) as [number, readonly StudyCell[]]
      known.set(index, row)
    } catch {
      break
    }
  }
  return known
}

/** Without the cut-off line, so that the next row starts on a line of its own. */
function rewrite(path: string, key: string, known: ReadonlyMap<number, readonly StudyCell[]>): void {
  const lines = [...known].map((entry) => JSON.stringify(entry))
  writeFileSync(path, `${[JSON.stringify({ key }), ...lines].join('\n')}\n`)
}
