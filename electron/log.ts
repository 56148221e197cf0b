import { appendFileSync, mkdirSync, renameSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import type { FailureCode } from '../src/failure.ts'
import type { ChannelName } from './contract.ts'

const largestLogBytes = 512_000

/**
 * All the log can say. No member has room for free text, so no name, note or path can reach it: what happened, which
 * channel, which code, how large.
 */
export type LogEvent =
  | { readonly what: 'started' | 'renderer-gone' }
  | { readonly what: 'ipc-refused'; readonly why: 'sender' | 'arguments'; readonly channel: ChannelName }
  | { readonly what: 'opened' | 'saved' | 'recovery-written'; readonly bytes: number }
  | { readonly what: 'failed'; readonly code: FailureCode }

export type Log = (event: LogEvent) => void

/** A log file of one JSON line per event; past half a megabyte it is moved aside once. Never throws. */
export function fileLog(path: string, now: () => Date = () => new Date()): Log {
  return (event) => {
    try {
      mkdirSync(dirname(path), { recursive: true, mode: 0o700 })
      if ((statSync(path, { throwIfNoEntry: false })?.size ?? 0) > largestLogBytes) renameSync(path, `${path}.1`)
      appendFileSync(path, `${JSON.stringify({ at: now().toISOString(), ...event })}\n`, { mode: 0o600 })
    } catch {
      // A full disk or a locked log must not stop the program.
    }
  }
}
