import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { writeStl } from '../../src/formats/write-stl.ts'
import { boneLike } from '../fixtures/shapes.ts'
import { openOurs, openTheirs } from './opening.ts'

export interface MemoryUse {
  readonly peakMiB: number
  readonly timesFile: number
}

/**
 * Peak resident memory of one opening in a process of its own, above that of a process that opens a mesh of no size.
 */
export function openingMemory(who: 'ours' | 'theirs'): MemoryUse {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'))
  const file = join(folder, 'large.stl')
  const small = join(folder, 'small.stl')
  const stl = writeStl(boneLike(1_000_000, 1))
  writeFileSync(file, stl)
  writeFileSync(small, writeStl(boneLike(2000, 1)))
  const peak = (path: string): number => {
    const run = spawnSync(process.execPath, [process.argv[1]!, '--open', path, '--who', who], { encoding: 'utf8' })
    if (run.status !== 0) throw new Error(run.stderr)
    return Number(run.stdout.trim())
  }
  const above = peak(file) - peak(small)
  rmSync(folder, { recursive: true })
  return { peakMiB: above / 1024, timesFile: (above * 1024) / stl.length }
}

/** What the child process does: opens one file and prints its peak resident memory in KiB. */
export function openAndReport(path: string, who: string): void {
  const bytes = readFileSync(path)
  const opened = who === 'ours' ? openOurs(bytes) : openTheirs(bytes)
  if (!Number.isFinite(opened)) throw new Error('the file did not open')
  console.log(peakKiB())
}

/** The kernel's high-water mark of this process alone; the usual counter starts at the parent's. */
function peakKiB(): number {
  const status = existsSync('/proc/self/status') ? readFileSync('/proc/self/status', 'utf8') : ''
  const mark = /VmHWM:\s+(\d+) kB/.exec(status)
  return mark ? Number(mark[1]) : process.resourceUsage().maxRSS
}
