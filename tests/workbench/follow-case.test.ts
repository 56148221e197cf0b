import { expect, test } from 'vitest'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import type { Engine } from '../../src/engine/client.ts'
import type { OpenedMesh } from '../../src/engine/contract.ts'
import { fail } from '../../src/failure.ts'
import { followCase } from '../../src/workbench/live/follow-case.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'
import type { Workbench } from '../../src/workbench/workbench.ts'
import { box } from '../fixtures/shapes.ts'

/** An engine that answers nothing but remembers which bones it was given and told to let go. */
function shelfOnly(): { engine: Engine; held: Set<string> } {
  const held = new Set<string>()
  const run = async (job: string, input: unknown) => {
    if (job === 'hold-bone') held.add((input as { key: string }).key)
    if (job === 'drop-bone') held.delete((input as { key: string }).key)
    return fail('job/cancelled', 'Not answered.')
  }
  return { engine: { run, pending: () => 0, dispose: () => {} } as unknown as Engine, held }
}

test('bones that repairs have left behind are let go, all but the last two', async () => {
  const store = createWorkbenchStore()
  const main = shelfOnly()
  const drawing = shelfOnly()
  const stop = followCase({ store, engine: main.engine, drawer: drawing.engine } as unknown as Workbench)
  for (let step = 0; step < 8; step++) {
    const repairs = Array.from({ length: step }, () => ({ kind: 'orient' }) as const)
    const reference = { sha256: 'f'.repeat(64), name: 'femur', unitFactor: 1, repairs }
    const opened = { key: meshKey(reference), reference, mesh: box([0, 0, 0], [1, 1, 1]), fileWarnings: [] }
    store.getState().holdMesh(opened as unknown as OpenedMesh, new Blob([]))
    store.getState().useBone('femur', opened as unknown as OpenedMesh)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
  expect(main.held.size).toBe(3)
  expect(drawing.held.size).toBe(3)
  expect(main.held.has(meshKey(store.getState().history.present.meshes.femur!))).toBe(true)
  stop()
})
