import {
  type JobContext,
  type JobHandlers,
  type JobName,
  protocolVersion,
  type Reply,
  type Request,
  type RunRequest,
} from './contract.ts'

/** The part of a worker's global scope, or of a message port, that the server needs. */
export interface Port {
  postMessage(message: Reply, transfer: Transferable[]): void
  addEventListener(type: 'message', listener: (event: MessageEvent<Request>) => void): void
}

const progressEveryMs = 50

/**
 * Answers requests that arrive on `port`, one after the other, in the order in which they came. A job that is cancelled
 * has its signal aborted at once, whether it is running (and lets messages through) or still waits.
 */
export function serveJobs(port: Port, handlers: JobHandlers): void {
  let last: Promise<void> = Promise.resolve()
  const unsettled = new Map<number, AbortController>()
  port.addEventListener('message', ({ data: request }) => {
    if (request.kind === 'cancel') {
      unsettled.get(request.id)?.abort()
      return
    }
    const controller = new AbortController()
    unsettled.set(request.id, controller)
    last = last
      .then(() => answer(port, handlers, request, controller.signal))
      .finally(() => unsettled.delete(request.id))
  })
  port.postMessage({ kind: 'ready', version: protocolVersion }, [])
}

async function answer(port: Port, handlers: JobHandlers, request: RunRequest, signal: AbortSignal): Promise<void> {
  const { id } = request
  const transfers = new Set<ArrayBufferLike>()
  try {
    const result = await runJob(handlers, request, contextFor(port, id, transfers, signal))
    if (result.ok) port.postMessage({ kind: 'done', id, output: result.value }, [...transfers] as Transferable[])
    else port.postMessage({ kind: 'failed', id, failure: result.failure }, [])
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error)
    port.postMessage(
      {
        kind: 'failed',
        id,
        failure: {
          code: 'job/internal',
          message: `The calculation stopped: ${message}`,
          hint: null,
          place: request.job,
        },
      },
      [],
    )
  }
}

function runJob<J extends JobName>(
  handlers: JobHandlers,
  request: RunRequest & { readonly job: J },
  context: JobContext,
) {
  const handler = handlers[request.job] as JobHandlers[J]
  return handler(request.input as Parameters<JobHandlers[J]>[0] & never, context)
}

function contextFor(port: Port, id: number, transfers: Set<ArrayBufferLike>, signal: AbortSignal): JobContext {
  let lastToldMs = Number.NEGATIVE_INFINITY
  return {
    signal,
    progress: (fraction, stage) => {
      const now = performance.now()
      if (now - lastToldMs < progressEveryMs && fraction < 1) return
      lastToldMs = now
      port.postMessage({ kind: 'progress', id, progress: { fraction, stage } }, [])
    },
    transfer: (buffer) => {
      transfers.add(buffer)
    },
  }
}
