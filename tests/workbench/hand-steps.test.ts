import { expect, test } from 'vitest'
import { labelOf } from '../../src/workbench/commands/command.ts'
import { undo } from '../../src/workbench/commands/undo.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'
import type { Workbench } from '../../src/workbench/workbench.ts'

const landmarks = () => {
  const store = createWorkbenchStore()
  store.getState().showStage('landmarks')
  return { store, run: () => void undo.run({ store } as unknown as Workbench) }
}

test('undo takes picked points back one by one, and a stroke as a whole', () => {
  const { store, run } = landmarks()
  store.getState().addHandPoint('tibia', [1, 2, 3])
  store.getState().addHandPoint('tibia', [4, 5, 6])
  store.getState().dropHandPoint(0)
  expect(labelOf(undo, store.getState())).toBe('Undo drop point')
  run()
  expect(store.getState().handPoints).toHaveLength(2)
  run()
  expect(store.getState().handPoints).toEqual([[1, 2, 3]])
  run()
  expect(store.getState()).toMatchObject({ handPoints: [], handBone: null })
  store.getState().beginHandStroke()
  for (const x of [0, 5, 10]) store.getState().addHandBall('femur', { centre: [x, 0, 0], radiusMm: 6 })
  expect(labelOf(undo, store.getState())).toBe('Undo paint stroke')
  run()
  expect(store.getState().handBalls).toEqual([])
})

test('an edit of the case made after a point is undone before it; on other stages only the case is undone', () => {
  const { store, run } = landmarks()
  store.getState().addHandPoint('tibia', [1, 2, 3])
  store.getState().edit('name', (document) => ({ ...document, name: 'another' }))
  expect(labelOf(undo, store.getState())).toBe('Undo name')
  run()
  expect(store.getState().handPoints).toHaveLength(1)
  store.getState().showStage('cuts')
  expect(undo.enabled?.(store.getState())).toBe('Nothing to undo.')
  store.getState().showStage('landmarks')
  run()
  expect(store.getState().handPoints).toEqual([])
})
