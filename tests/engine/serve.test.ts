import { expect, test } from 'vitest'
import type { JobHandlers, Reply, Request } from '../../src/engine/contract.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { type Port, serveJobs } from '../../src/engine/serve.ts'
import { fail, ok } from '../../src/failure.ts'

function served(handlers: Partial<JobHandlers>) {
  const replies: Reply[] = []
  const transferred: Transferable[] = []
  let deliver: (request: Request) => void = () => {}
  const port: Port = {
    postMessage: (message, transfer) => {
      replies.push(message)
      transferred.push(...transfer)
    },
    addEventListener: (_type, listener) => {
      deliver = (data) => listener({ data } as MessageEvent<Request>)
    },
  }
  serveJobs(port, { ...createHandlers(), ...handlers })
  return { replies, transferred, send: (request: Request) => deliver(request) }
}

const settled = () => new Promise((resolve) => setTimeout(resolve, 5))
const pick = (id: number): Request => ({
  kind: 'run',
  id,
  job: 'pick',
  input: { key: 'a', origin: [0, 0, 0], direction: [0, 0, 1] },
})

test('the server greets with its version and answers in the order of the questions', async () => {
  const { replies, send } = served({ pick: async () => ok({ point: [1, 2, 3] }) })
  send(pick(1))
  send(pick(2))
  await settled()
  expect(replies.map((r) => (r.kind === 'ready' ? 'ready' : `${r.kind} ${r.id}`))).toEqual([
    'ready',
    'done 1',
    'done 2',
  ])
})

test('a failure crosses as a failure, a thrown error as an internal one, and the server goes on', async () => {
  let calls = 0
  const { replies, send } = served({
    pick: () => {
      calls += 1
      if (calls === 1) throw new Error('a bug')
      return fail('case/mesh-missing', 'That bone is not open.')
    },
  })
  send(pick(1))
  send(pick(2))
  await settled()
  expect(replies.flatMap((r) => (r.kind === 'failed' ? [r.failure.code] : []))).toEqual([
    'job/internal',
    'case/mesh-missing',
  ])
})

test('progress is told at most every 50 ms, except that the end is always told', async () => {
  const { replies, send } = served({
    pick: (_input, context) => {
      for (let k = 0; k < 1000; k++) context.progress(k / 1000, 'reading')
      context.progress(1, 'done')
      return ok({ point: null })
    },
  })
  send(pick(1))
  await settled()
  const told = replies.filter((r) => r.kind === 'progress')
  expect(told.length).toBeLessThan(10)
  expect(told.at(-1)).toMatchObject({ progress: { fraction: 1 } })
})

test('a buffer marked for transfer is handed over', async () => {
  const buffer = new Float32Array(3).buffer
  const { transferred, send } = served({
    pick: (_input, context) => {
      context.transfer(buffer)
      context.transfer(buffer)
      return ok({ point: null })
    },
  })
  send(pick(1))
  await settled()
  expect(transferred).toEqual([buffer])
})
