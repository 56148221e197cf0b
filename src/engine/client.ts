import { fail, type Result } from '../failure.ts'
import {
  type JobInput,
  type JobName,
  type JobOutput,
  type Progress,
  protocolVersion,
  type Reply,
  type Request,
  type RunRequest,
} from './contract.ts'

/** The part of a Worker that the client needs. */
export interface WorkerLike {
  postMessage(message: Request, transfer: Transferable[]): void
  terminate(): void
  addEventListener(type: 'message', listener: (event: MessageEvent<Reply>) => void): void
  addEventListener(type: 'error', listener: (event: { readonly message?: string }) => void): void
}

export interface RunOptions {
  readonly signal?: AbortSignal
  readonly onProgress?: (progress: Progress) => void
  /** A newer call with the same key replaces one that still waits; the one already running is let through. */
  readonly latest?: string
  /** Buffers of the input that are handed over instead of copied; the caller must not touch them afterwards. */
  readonly transfer?: readonly Transferable[]
  /** For this call, what the engine does otherwise on cancel: ending the worker stops a job that does not look up. */
  readonly endsWorkerOnCancel?: boolean
}

export interface Engine {
  run<J extends JobName>(job: J, input: JobInput<J>, options?: RunOptions): Promise<Result<JobOutput<J>>>
  /** Number of calls that have not settled. */
  pending(): number
  /** Every unsettled call ends as `job/cancelled`; the worker is ended. */
  dispose(): void
}

export interface EngineOptions {
  readonly spawn: () => WorkerLike
  /** Cancelling the running job ends the worker, and a fresh one is started for the next (its held bones are gone). */
  readonly endsWorkerOnCancel: boolean
  /** Called after a worker was lost to an internal error, before the next job is sent. */
  readonly onRestart?: () => void
}

interface Call {
  readonly id: number
  readonly request: RunRequest
  readonly options: RunOptions
  readonly settle: (result: Result<never>) => void
}

/** Sends jobs to one worker, one at a time; every promise settles, whatever happens to the worker. */
export function createEngine({ spawn, endsWorkerOnCancel, onRestart }: EngineOptions): Engine {
  let worker: WorkerLike | null = null
  let running: Call | null = null
  let queue: Call[] = []
  let nextId = 1
  let disposed = false

  const cancelled = () => fail('job/cancelled', 'The calculation was cancelled.')

  function settle(call: Call, result: Result<unknown>): void {
    call.settle(result as Result<never>)
  }

  function discardWorker(): void {
    worker?.terminate()
    worker = null
  }

  function lost(message: string): void {
    const call = running
    running = null
    discardWorker()
    if (call)
      settle(
        call,
        fail('job/internal', `The calculation stopped: ${message}`, {
          hint: 'Try again; if it happens again, restart the program.',
        }),
      )
    onRestart?.()
    sendNext()
  }

  function started(): WorkerLike {
    if (worker) return worker
    const fresh = spawn()
    worker = fresh
    fresh.addEventListener('message', (event) => {
      if (fresh === worker) receive(event.data)
    })
    fresh.addEventListener('error', (event) => {
      if (fresh === worker) lost(event.message ?? 'the worker could not be run')
    })
    return fresh
  }

  function receive(reply: Reply): void {
    if (reply.kind === 'ready') {
      if (reply.version !== protocolVersion) lost(`the worker speaks version ${reply.version}, not ${protocolVersion}`)
      return
    }
    const call = running
    if (!call || call.id !== reply.id) return
    if (reply.kind === 'progress') {
      call.options.onProgress?.(reply.progress)
      return
    }
    running = null
    if (reply.kind === 'done') settle(call, { ok: true, value: reply.output })
    else settle(call, { ok: false, failure: reply.failure })
    sendNext()
  }

  function sendNext(): void {
    if (running || disposed) return
    const call = queue.shift()
    if (!call) return
    running = call
    started().postMessage(call.request, [...(call.options.transfer ?? [])])
  }

  function cancel(call: Call): void {
    if (queue.includes(call)) {
      queue = queue.filter((waiting) => waiting !== call)
      settle(call, cancelled())
    } else if (running === call) {
      settle(call, cancelled())
      if (call.options.endsWorkerOnCancel ?? endsWorkerOnCancel) {
        running = null
        discardWorker()
        sendNext()
      } else {
        worker?.postMessage({ kind: 'cancel', id: call.id }, [])
      }
    }
  }

  return {
    run(job, input, options = {}) {
      return new Promise((resolve) => {
        if (disposed || options.signal?.aborted) {
          resolve(cancelled())
          return
        }
        const id = nextId++
        const call: Call = { id, request: { kind: 'run', id, job, input } as RunRequest, options, settle: resolve }
        options.signal?.addEventListener('abort', () => cancel(call), { once: true })
        if (options.latest !== undefined) {
          for (const waiting of queue.filter((c) => c.options.latest === options.latest)) cancel(waiting)
        }
        queue.push(call)
        sendNext()
      })
    },
    pending: () => queue.length + (running ? 1 : 0),
    dispose() {
      disposed = true
      const unsettled = running ? [running, ...queue] : queue
      queue = []
      running = null
      for (const call of unsettled) settle(call, cancelled())
      discardWorker()
    },
  }
}
