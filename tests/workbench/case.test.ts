import { expect, test } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import {
  bearingFields,
  boneAndSawFields,
  limitFields,
  loadFields,
  stanceFields,
} from '../../src/workbench/stages/case-fields.ts'
import { femoralCutFields, tibialCutFields } from '../../src/workbench/stages/cut-fields.ts'
import { withBone } from '../../src/workbench/store/bones-slice.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'

const fields = [
  ...Object.values(tibialCutFields),
  ...Object.values(femoralCutFields),
  ...boneAndSawFields,
  ...limitFields,
  ...stanceFields('own'),
  ...loadFields,
  ...bearingFields,
]

test('each field reads what it writes, changes nothing else, and resets to what a new case has', () => {
  for (const field of fields) {
    const written = field.write(newCase, 7)
    expect(field.read(written), field.step).toBe(7)
    for (const other of fields)
      if (other !== field) expect(other.read(written), `${field.step} left ${other.step}`).toBe(other.read(newCase))
    expect(field.write(written, field.initial ?? null), field.step).toEqual(newCase)
  }
})

test('no two fields share the name of their step in undo', () => {
  const steps = fields.map((field) => field.step)
  expect(new Set(steps).size).toBe(steps.length)
})

test('another bone takes its landmarks along and leaves those of its partner', () => {
  const at = { mm: [0, 0, 0], source: 'set' } as const
  const document = { ...newCase, landmarks: { hipCentre: at, ankleCentre: at } }
  const other = withBone(document, 'femur', { sha256: 'f'.repeat(64), name: 'f', unitFactor: 1, repairs: [] })
  expect(Object.keys(other.landmarks)).toEqual(['ankleCentre'])
})

test('a repair of the same bone keeps the landmarks set on it', () => {
  const reference = { sha256: 'f'.repeat(64), name: 'f', unitFactor: 1, repairs: [] }
  const at = { mm: [0, 0, 0], source: 'set' } as const
  const document = { ...withBone(newCase, 'femur', reference), landmarks: { hipCentre: at } }
  expect(withBone(document, 'femur', { ...reference, repairs: [{ kind: 'orient' }] }).landmarks).toEqual({
    hipCentre: at,
  })
})

test('a gesture through the store is one step with its last words; cancelled, it is none', () => {
  const store = createWorkbenchStore()
  const state = store.getState()
  state.begin('tibia varus')
  for (const varus of [1, 2, 3]) state.update((document) => tibialCutFields.varus.write(document, varus))
  state.commit('tibia varus to 3.0°')
  expect(store.getState().history.past.map((step) => step.label)).toEqual(['tibia varus to 3.0°'])
  state.begin('tibia slope')
  state.update((document) => tibialCutFields.slope.write(document, 9))
  state.cancel()
  expect(store.getState().history.present.cuts.tibia).toMatchObject({ varusDeg: 3, slopeDeg: null })
  state.undo()
  expect(store.getState().history.present).toEqual(newCase)
})

test('a pull says with its change that the numbers are older than the case; what changes nothing, or has no bones, does not', () => {
  const store = createWorkbenchStore()
  const { begin, update, replaceDocument } = store.getState()
  const { depth } = tibialCutFields
  begin('pull')
  update((document) => depth.write(document, 9))
  expect(store.getState().updating).toBe(false)
  const mesh = { sha256: 'x', name: 'x', unitFactor: 1, repairs: [] }
  replaceDocument({ ...newCase, meshes: { femur: mesh, tibia: mesh } })
  begin('pull')
  update((document) => document)
  expect(store.getState().updating).toBe(false)
  let changes = 0
  store.subscribe(() => changes++)
  update((document) => depth.write(document, 9))
  expect(store.getState()).toMatchObject({ updating: true, partsUpdating: true })
  expect(changes).toBe(1)
})
