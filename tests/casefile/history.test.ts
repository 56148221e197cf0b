import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import {
  beginGesture,
  cancelGesture,
  changeAside,
  commitGesture,
  editHistory,
  type History,
  newHistory,
  redo,
  undo,
  updateGesture,
} from '../../src/casefile/history.ts'

const named = (name: string): CaseDocument => ({ ...newCase, name })

test('an edit is one named step that can be undone and redone', () => {
  const edited = editHistory(newHistory(newCase), 'rename', named('A'))
  expect(edited.past.map((step) => step.label)).toEqual(['rename'])
  const undone = undo(edited)
  expect(undone.present).toBe(newCase)
  expect(undone.future.map((step) => step.label)).toEqual(['rename'])
  expect(redo(undone)).toEqual(edited)
})

test('a gesture of many updates is one step under its last label', () => {
  let history = beginGesture(newHistory(newCase), 'drag')
  for (const name of ['A', 'B', 'C']) history = updateGesture(history, named(name))
  history = commitGesture(history, 'drag to C')
  expect(history.past.map((step) => step.label)).toEqual(['drag to C'])
  expect(history.present.name).toBe('C')
  expect(undo(history).present).toBe(newCase)
})

test('a cancelled gesture leaves neither change nor step, and what could be redone stays', () => {
  const before = undo(editHistory(newHistory(newCase), 'rename', named('A')))
  const after = cancelGesture(updateGesture(beginGesture(before, 'drag'), named('B')))
  expect(after).toEqual(before)
})

test('an edit that changes nothing leaves no step and keeps what could be redone', () => {
  const before = undo(editHistory(newHistory(newCase), 'rename', named('A')))
  expect(editHistory(before, 'nothing', { ...newCase })).toEqual(before)
})

test('a change aside is in every document: undo does not take it away, and no step is left', () => {
  const before = editHistory(editHistory(newHistory(named('A')), 'first', named('B')), 'second', named('C'))
  const aside = changeAside(undo(before), (document) => ({ ...document, notes: 'kept' }))
  expect(aside.past).toHaveLength(1)
  expect([undo(aside).present, aside.present, redo(aside).present].map(({ name, notes }) => name + notes)).toEqual([
    'Akept',
    'Bkept',
    'Ckept',
  ])
})

test('undoing in the middle of a gesture cancels it', () => {
  const before = editHistory(newHistory(newCase), 'rename', named('A'))
  expect(undo(updateGesture(beginGesture(before, 'drag'), named('B')))).toEqual(before)
})

test('a new edit drops what could be redone', () => {
  const history = editHistory(undo(editHistory(newHistory(newCase), 'a', named('A'))), 'b', named('B'))
  expect(history.future).toEqual([])
})

test('undoing every step returns to the start, redoing every step to the end, over random edits', () => {
  fc.assert(
    fc.property(fc.array(fc.string({ maxLength: 3 }), { maxLength: 40 }), (names) => {
      const end = names.reduce((history: History, name) => editHistory(history, name, named(name)), newHistory(newCase))
      let history = end
      while (history.past.length > 0) history = undo(history)
      expect(history.present).toEqual(newCase)
      while (history.future.length > 0) history = redo(history)
      expect(history).toEqual(end)
    }),
  )
})

test('the list of steps is capped at 200', () => {
  let history = newHistory(newCase)
  for (let k = 0; k < 250; k++) history = editHistory(history, String(k), named(String(k)))
  expect(history.past.length).toBe(200)
  expect(history.past[0]?.label).toBe('50')
})
