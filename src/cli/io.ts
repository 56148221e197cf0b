import type { Failure } from '../failure.ts'

/** Where the command line writes: standard output and standard error, line ends included. */
export interface Io {
  readonly out: (text: string) => void
  readonly err: (text: string) => void
}

export const exitCodes = { done: 0, failed: 1, usage: 2 } as const
export type ExitCode = (typeof exitCodes)[keyof typeof exitCodes]

/** A failure in the shape the caller asked for: a JSON document on standard output, or sentences on standard error. */
export function reportFailure(io: Io, failure: Failure, json: boolean): ExitCode {
  if (json) io.out(`${JSON.stringify({ schema: 'floorline.failure/1', failure }, null, 2)}\n`)
  else {
    io.err(`${failure.message}\n`)
    if (failure.place !== null) io.err(`  where: ${failure.place}\n`)
    if (failure.hint !== null) io.err(`  what to do: ${failure.hint}\n`)
    io.err(`  (${failure.code})\n`)
  }
  return failure.code === 'cli/usage' ? exitCodes.usage : exitCodes.failed
}
