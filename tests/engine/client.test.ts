import { expect, test, vi } from 'vitest'
import { createEngine, type WorkerLike } from '../../src/engine/client.ts'
import { protocolVersion, type Reply, type Request } from '../../src/engine/contract.ts'
import { expectFailure, expectOk } from '../near.ts'

/** A worker that answers when it is told to. */
function fakeWorker() {
  const sent: Request[] = []
  const listeners: ((event: { data: Reply }) => void)[] = []
  const errors: ((event: { message?: string }) => void)[] = []
  const terminate = vi.fn()
  const worker = {
    postMessage: (message: Request) => sent.push(message),
    terminate,
    addEventListener: (type: string, listener: never) => (type === 'message' ? listeners : errors).push(listener),
  } as unknown as WorkerLike
  return {
    worker,
    sent,
    terminate,
    reply: (data: Reply) => {
      for (const listener of listeners) listener({ data })
    },
    crash: (message: string) => {
      for (const listener of errors) listener({ message })
    },
  }
}

const pick = (x: number) => ({ key: 'a', origin: [x, 0, 0], direction: [0, 0, 1] }) as const

function engineWith(count = 3, endsWorkerOnCancel = false) {
  const workers = Array.from({ length: count }, fakeWorker)
  let spawned = 0
  const engine = createEngine({ spawn: () => workers[spawned++]!.worker, endsWorkerOnCancel })
  return { engine, workers, spawned: () => spawned }
}

test('jobs go out one at a time and each promise gets its own answer', async () => {
  const { engine, workers } = engineWith()
  const [w] = workers
  const first = engine.run('pick', pick(1))
  const second = engine.run('pick', pick(2))
  expect(w!.sent.map((m) => m.id)).toEqual([1])
  w!.reply({ kind: 'done', id: 1, output: { point: [1, 1, 1] } })
  expect(w!.sent.map((m) => m.id)).toEqual([1, 2])
  w!.reply({ kind: 'done', id: 2, output: { point: null } })
  expect(expectOk(await first).point).toEqual([1, 1, 1])
  expect(expectOk(await second).point).toBe(null)
  expect(engine.pending()).toBe(0)
})

test('of calls with the same key only the newest waits, and the running one is let through', async () => {
  const { engine, workers } = engineWith()
  const calls = [1, 2, 3, 4].map((x) => engine.run('pick', pick(x), { latest: 'pick' }))
  expectFailure(await calls[1]!, 'job/cancelled')
  expectFailure(await calls[2]!, 'job/cancelled')
  workers[0]!.reply({ kind: 'done', id: 1, output: { point: [1, 0, 0] } })
  workers[0]!.reply({ kind: 'done', id: 4, output: { point: [4, 0, 0] } })
  expect(expectOk(await calls[0]!).point).toEqual([1, 0, 0])
  expect(expectOk(await calls[3]!).point).toEqual([4, 0, 0])
})

test('cancelling the running job of an opener ends its worker at once and the next job gets a fresh one', async () => {
  const { engine, workers, spawned } = engineWith(2, true)
  const abort = new AbortController()
  const first = engine.run('pick', pick(1), { signal: abort.signal })
  const second = engine.run('pick', pick(2))
  abort.abort()
  expectFailure(await first, 'job/cancelled')
  expect(workers[0]!.terminate).toHaveBeenCalledOnce()
  expect(spawned()).toBe(2)
  workers[0]!.reply({ kind: 'done', id: 2, output: { point: [9, 9, 9] } })
  workers[1]!.reply({ kind: 'done', id: 2, output: { point: [2, 0, 0] } })
  expect(expectOk(await second).point).toEqual([2, 0, 0])
})

test('a call that is aborted before it begins never reaches the worker', async () => {
  const { engine, spawned } = engineWith()
  expectFailure(await engine.run('pick', pick(1), { signal: AbortSignal.abort() }), 'job/cancelled')
  expect(spawned()).toBe(0)
})

test('a worker that breaks fails its job with a sentence, is replaced, and the waiting jobs go on', async () => {
  const { engine, workers } = engineWith()
  const first = engine.run('pick', pick(1))
  const second = engine.run('pick', pick(2))
  workers[0]!.crash('out of memory')
  const lost = await first
  expectFailure(lost, 'job/internal')
  expect(lost.ok ? '' : lost.failure.message).toContain('out of memory')
  workers[1]!.reply({ kind: 'done', id: 2, output: { point: [2, 0, 0] } })
  expect(expectOk(await second).point).toEqual([2, 0, 0])
})

test('a worker of another version is not trusted', async () => {
  const { engine, workers } = engineWith()
  const call = engine.run('pick', pick(1))
  workers[0]!.reply({ kind: 'ready', version: protocolVersion + 1 })
  expectFailure(await call, 'job/internal')
})

test('progress reaches the caller it belongs to', () => {
  const { engine, workers } = engineWith()
  const heard = vi.fn()
  void engine.run('pick', pick(1), { onProgress: heard })
  workers[0]!.reply({ kind: 'progress', id: 1, progress: { fraction: 0.5, stage: 'reading' } })
  workers[0]!.reply({ kind: 'progress', id: 7, progress: { fraction: 0.9, stage: 'other' } })
  expect(heard.mock.calls).toEqual([[{ fraction: 0.5, stage: 'reading' }]])
})

test('ending the engine settles every promise', async () => {
  const { engine, workers } = engineWith()
  const calls = [engine.run('pick', pick(1)), engine.run('pick', pick(2))]
  engine.dispose()
  for (const call of calls) expectFailure(await call, 'job/cancelled')
  expect(workers[0]!.terminate).toHaveBeenCalledOnce()
  expectFailure(await engine.run('pick', pick(3)), 'job/cancelled')
})
