import {
  type JobContext,
  type JobHandlers,
  type JobName,
  protocolVersion,
  type Reply,
  type Request,
} from './contract.ts'

/** The part of a worker's global scope, or of a message port, that the server needs. */
export interface Port {
  postMessage(message: Reply, transfer: Transferable[]): void
  addEventListener(type: 'message', listener: (event: MessageEvent<Request>) => void): void
}

const progressEveryMs = 50

/** Answers requests that arrive on `port`, one after the other, in the order in which they came. */
export function serveJobs(port: Port, handlers: JobHandlers): void {
  let last: Promise<void> = Promise.resolve()
  port.addEventListener('message', (event) => {
    last = last.then(() => answer(port, handlers, event.data))
  })
  port.postMessage({ kind: 'ready', version: protocolVersion }, [])
}

async function answer(port: Port, handlers: JobHandlers, request: Request): Promise<void> {
  const { id } = request
  const transfers = new Set<ArrayBufferLike>()
  try {
    const result = await runJob(handlers, request, contextFor(port, id, transfers))
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

function runJob<J extends JobName>(handlers: JobHandlers, request: Request & { readonly job: J }, context: JobContext) {
  const handler = handlers[request.job] as JobHandlers[J]
  return handler(request.input as Parameters<JobHandlers[J]>[0] & never, context)
}

function contextFor(port: Port, id: number, transfers: Set<ArrayBufferLike>): JobContext {
  let lastToldMs = Number.NEGATIVE_INFINITY
  return {
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
