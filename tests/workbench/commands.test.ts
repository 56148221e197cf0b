import { expect, test } from 'vitest'
import { labelOf } from '../../src/workbench/commands/command.ts'
import { commandForKey, type KeyPress, keyNames } from '../../src/workbench/commands/keys.ts'
import { commands } from '../../src/workbench/commands/list.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'

const press = (key: string, change: Partial<KeyPress> = {}): KeyPress => ({
  key,
  code: '',
  ctrlKey: false,
  metaKey: false,
  shiftKey: false,
  altKey: false,
  ...change,
})

test('every command has an id and a label of its own, and no two share a key', () => {
  const state = createWorkbenchStore().getState()
  const ids = commands.map((command) => command.id)
  expect(new Set(ids).size).toBe(ids.length)
  const labels = commands.map((command) => labelOf(command, state))
  expect(new Set(labels).size).toBe(labels.length)
  const keys = commands.flatMap((command) => command.keys ?? [])
  expect(new Set(keys).size).toBe(keys.length)
})

test('keys find their command: with Ctrl elsewhere, with Cmd on a Mac', () => {
  expect(commandForKey(press('z', { ctrlKey: true }), false, false)?.id).toBe('edit.undo')
  expect(commandForKey(press('z', { metaKey: true }), false, true)?.id).toBe('edit.undo')
  expect(commandForKey(press('z', { ctrlKey: true }), false, true)).toBe(null)
  expect(commandForKey(press('Z', { ctrlKey: true, shiftKey: true }), false, false)?.id).toBe('edit.redo')
  expect(commandForKey(press('?', { shiftKey: true }), false, false)?.id).toBe('window.keys')
  expect(commandForKey(press('¡', { altKey: true, code: 'Digit3' }), false, false)?.id).toBe('stage.cuts')
})

test('while something is being typed, a bare key is a letter and not a command', () => {
  expect(commandForKey(press('f'), false, false)?.id).toBe('view.fit')
  expect(commandForKey(press('f'), true, false)).toBe(null)
  expect(commandForKey(press('k', { ctrlKey: true }), true, false)?.id).toBe('window.palette')
})

test('keys are named as the keyboard names them', () => {
  expect(keyNames('mod+shift+z', false)).toEqual(['Ctrl', 'Shift', 'Z'])
  expect(keyNames('mod+shift+z', true)).toEqual(['⌘', 'Shift', 'Z'])
})
