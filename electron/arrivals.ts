import type { FileTicket } from '../src/host/bridge.ts'

export interface Arrival {
  readonly files: readonly FileTicket[]
  readonly refused: readonly string[]
}

/**
 * Files that come from outside: this start's arguments, a second start's, the system's `open-file`. They wait until the
 * window asks for the first time and are handed on as they come from then on. `take` is the one gate for files.
 */
export function arrivals(take: (paths: readonly string[]) => Promise<Arrival>, send: (arrival: Arrival) => void) {
  let waiting: string[] | null = []
  return {
    async bring(paths: readonly string[]): Promise<void> {
      if (paths.length === 0) return
      if (waiting) waiting.push(...paths)
      else send(await take(paths))
    },
    /** What came before the window was there to hear of it. */
    async collect(): Promise<Arrival> {
      const paths = waiting ?? []
      waiting = null
      return take(paths)
    },
  }
}

export type Arrivals = ReturnType<typeof arrivals>
