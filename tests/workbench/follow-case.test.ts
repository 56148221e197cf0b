import { expect, test } from 'vitest'
import type { CaseDocument } from '../../src/casefile/document.ts'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import type { Engine } from '../../src/engine/client.ts'
import type { OpenedMesh } from '../../src/engine/contract.ts'
import { fail, ok } from '../../src/failure.ts'
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

/** An engine that plans every case but those whose tibial depth is 33 mm. */
function plansShallow(): Engine {
  const run = async (job: string, input: unknown) => {
    // Bones that nothing is drawn of.
    const drawn = { key: '', parts: [] }
    if (job === 'plan-parts') return ok({ femur: drawn, tibia: drawn })
    if (job !== 'assess') return ok({})
    const { document } = input as { document: CaseDocument }
    return document.cuts.tibia.depthMm === 33
      ? fail('cut/misses-bone', 'The tibial cut does not meet the bone.')
      : ok({ findings: { planned: document.cuts.tibia.depthMm }, plan: { cuts: [] }, maps: [] })
  }
  return { run, pending: () => 0, dispose: () => {} } as unknown as Engine
}

const depth = (depthMm: number) => (document: CaseDocument) => ({
  ...document,
  cuts: { ...document.cuts, tibia: { ...document.cuts.tibia, depthMm } },
})
const moment = () => new Promise((resolve) => setTimeout(resolve, 20))

test('a step that cannot be planned is refused with its reason, and the plan before it stays', async () => {
  const store = createWorkbenchStore()
  const engine = plansShallow()
  const stop = followCase({ store, engine, drawer: engine } as unknown as Workbench)
  for (const bone of ['femur', 'tibia'] as const) {
    const reference = { sha256: bone, name: bone, unitFactor: 1, repairs: [] }
    const opened = { key: meshKey(reference), reference, mesh: box([0, 0, 0], [1, 1, 1]), fileWarnings: [] }
    store.getState().holdMesh(opened as unknown as OpenedMesh, new Blob([]))
    store.getState().useBone(bone, opened as unknown as OpenedMesh)
  }
  await moment()
  store.getState().edit('tibia depth to 9 mm', depth(9))
  await moment()
  const now = () => ({
    depth: store.getState().history.present.cuts.tibia.depthMm,
    shown: (store.getState().findings as unknown as { planned: number } | null)?.planned,
    notices: store.getState().notices.map(({ failure }) => failure.message),
  })
  expect(now()).toEqual({ depth: 9, shown: 9, notices: [] })
  const steps = store.getState().history.past.length
  store.getState().edit('tibia depth to 33 mm', depth(33))
  await moment()
  const message = 'Refused: tibia depth to 33 mm. The tibial cut does not meet the bone.'
  expect(now()).toEqual({ depth: 9, shown: 9, notices: [message] })
  expect(store.getState().history.past.length).toBe(steps)
  expect(store.getState().history.future).toEqual([])
  // The same by hand: pulled there the numbers go, let go there the pull is taken back.
  store.getState().begin('tibia depth')
  store.getState().update(depth(33))
  await moment()
  expect(store.getState().failure?.code).toBe('cut/misses-bone')
  store.getState().commit('tibia depth to 33 mm')
  await moment()
  expect(now()).toEqual({ depth: 9, shown: 9, notices: [message, message] })
  expect(store.getState().failure).toBeNull()
  stop()
})
