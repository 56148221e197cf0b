import type { Io } from '../../src/cli/io.ts'
import { run } from '../../src/cli/main.ts'

export interface Recorded {
  readonly code: number
  readonly out: string
  readonly err: string
}

/** Runs one command in this process and keeps what it wrote. */
export async function record(...argv: readonly string[]): Promise<Recorded> {
  const out: string[] = []
  const err: string[] = []
  const io: Io = { out: (text) => void out.push(text), err: (text) => void err.push(text) }
  const code = await run(argv, io)
  return { code, out: out.join(''), err: err.join('') }
}
