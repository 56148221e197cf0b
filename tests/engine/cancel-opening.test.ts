import { expect, test } from 'vitest'
import { createEngine, type WorkerLike } from '../../src/engine/client.ts'
import type { Reply, Request } from '../../src/engine/contract.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { type Port, serveJobs } from '../../src/engine/serve.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { boneLike } from '../fixtures/shapes.ts'
import { expectFailure, expectOk } from '../near.ts'

/** Client and server in one process, with messages that take their turn as a worker's do. */
function connected() {
  const replies: Reply[] = []
  const toServer: ((event: MessageEvent<Request>) => void)[] = []
  const toClient: ((event: MessageEvent<Reply>) => void)[] = []
  const later = (deliver: () => void) => setTimeout(deliver, 0)
  const port: Port = {
    postMessage: (data) => {
      replies.push(data)
      later(() => {
        for (const listener of toClient) listener({ data } as MessageEvent<Reply>)
      })
    },
    addEventListener: (_type, listener) => void toServer.push(listener),
  }
  const worker: WorkerLike = {
    postMessage: (data) =>
      void later(() => {
        for (const listener of toServer) listener({ data } as MessageEvent<Request>)
      }),
    terminate: () => {},
    addEventListener: (type: string, listener: never) => {
      if (type === 'message') toClient.push(listener)
    },
  }
  const engine = createEngine({
    spawn: () => {
      serveJobs(port, createHandlers())
      return worker
    },
    endsWorkerOnCancel: false,
  })
  return { engine, replies }
}

const stl = writeStl(boneLike(400_000, 5))
const input = () => ({
  file: new Blob([stl as Uint8Array<ArrayBuffer>]),
  name: 'large.stl',
  unitFactor: 1,
  repairs: [],
})

test('opening that is cancelled half-way ends in the worker itself within 200 ms, and the next job runs', async () => {
  const { engine, replies } = connected()
  const abort = new AbortController()
  const fractions: number[] = []
  let abortedMs = 0
  const opening = engine.run('open-mesh', input(), {
    signal: abort.signal,
    onProgress: ({ fraction }) => {
      fractions.push(fraction)
      if (fraction > 0.1 && abortedMs === 0) {
        abortedMs = performance.now()
        abort.abort()
      }
    },
  })
  expectFailure(await opening, 'job/cancelled')
  const next = await engine.run('drop-bone', { key: 'none' })
  const tookMs = performance.now() - abortedMs
  expectOk(next)
  expect(fractions.at(-1)).toBeLessThan(0.6)
  expect(replies.flatMap((r) => (r.kind === 'failed' ? [r.failure.code] : []))).toEqual(['job/cancelled'])
  // The server answers one job after the other: the next one's answer shows that the cancelled one has ended.
  expect(tookMs).toBeLessThan(200)
})

test('progress runs from 0 to 1 and never backwards', async () => {
  const { engine } = connected()
  const fractions: number[] = []
  const opened = expectOk(
    await engine.run('open-mesh', input(), { onProgress: ({ fraction }) => fractions.push(fraction) }),
  )
  expect(opened.health.closed).toBe(true)
  expect(fractions).toEqual(fractions.toSorted((a, b) => a - b))
  expect(fractions[0]).toBe(0)
  expect(fractions.at(-1)).toBe(1)
})
