import { expect, test } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import type { Engine } from '../../src/engine/client.ts'
import { fail } from '../../src/failure.ts'
import { openFiles } from '../../src/workbench/live/open-files.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'
import type { Workbench } from '../../src/workbench/workbench.ts'

const file = (name: string) => new File(['no case at all'], name)

/** An engine that opens nothing. */
const closed = {
  run: async () => fail('format/unknown', 'This is no case.'),
  pending: () => 0,
  dispose: () => {},
} as unknown as Engine

function workbench() {
  const store = createWorkbenchStore()
  const host = { discardRecovery: async () => {} }
  return { store, engine: closed, drawer: closed, opener: closed, student: closed, host } as unknown as Workbench
}

test('of several cases dropped at once the first is opened, and every other is named', async () => {
  const bench = workbench()
  await openFiles(bench, [file('first.floorline'), file('second.floorline'), file('third.floorline')])
  const places = bench.store.getState().notices.map(({ failure }) => failure.place)
  expect(places).toContain('second.floorline, third.floorline')
  expect(places.join()).toContain('first.floorline')
  expect(bench.store.getState().history.present).toBe(newCase)
})
