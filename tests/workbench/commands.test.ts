import { expect, test } from 'vitest'
import { labelOf } from '../../src/workbench/commands/command.ts'
import { commandForKey, commandWithKeys } from '../../src/workbench/commands/keys.ts'
import { commands } from '../../src/workbench/commands/list.ts'
import { giveKeys, keysOf, type OwnKeys, readOwnKeys, resetKeys } from '../../src/workbench/commands/own-keys.ts'
import { type KeyPress, keyNames, strokeOf, whyNotStroke } from '../../src/workbench/commands/stroke.ts'
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
  expect(commandForKey(press('z', { ctrlKey: true }), false, {}, false)?.id).toBe('edit.undo')
  expect(commandForKey(press('z', { metaKey: true }), false, {}, true)?.id).toBe('edit.undo')
  expect(commandForKey(press('z', { ctrlKey: true }), false, {}, true)).toBe(null)
  expect(commandForKey(press('Z', { ctrlKey: true, shiftKey: true }), false, {}, false)?.id).toBe('edit.redo')
  expect(commandForKey(press('?', { shiftKey: true }), false, {}, false)?.id).toBe('window.keys')
  expect(commandForKey(press('¡', { altKey: true, code: 'Digit3' }), false, {}, false)?.id).toBe('stage.cuts')
})

test('while something is being typed, a bare key is a letter and not a command', () => {
  expect(commandForKey(press('f'), false, {}, false)?.id).toBe('view.fit')
  expect(commandForKey(press('f'), true, {}, false)).toBe(null)
  expect(commandForKey(press('k', { ctrlKey: true }), true, {}, false)?.id).toBe('window.palette')
})

test('keys are named as the keyboard names them', () => {
  expect(keyNames('mod+shift+z', false)).toEqual(['Ctrl', 'Shift', 'Z'])
  expect(keyNames('mod+shift+z', true)).toEqual(['⌘', 'Shift', 'Z'])
})

test('a key that needs Shift on this keyboard is known by its sign, a letter of another alphabet by its engraving', () => {
  expect(strokeOf(press('3', { shiftKey: true, code: 'Digit3' }), false)).toBe('3')
  expect(strokeOf(press('?', { shiftKey: true, code: 'Minus' }), false)).toBe('?')
  expect(strokeOf(press('я', { ctrlKey: true, code: 'KeyZ' }), false)).toBe('mod+z')
  expect(strokeOf(press('å', { altKey: true, code: 'KeyA' }), true)).toBe('alt+a')
  expect(strokeOf(press('G', { shiftKey: true, code: 'KeyG' }), false)).toBe('shift+g')
  expect(strokeOf(press('+', { ctrlKey: true, code: 'Equal' }), false)).toBe('mod+plus')
  for (const alone of ['Shift', 'Control', 'Alt', 'Meta', 'Dead']) expect(strokeOf(press(alone), false)).toBe(null)
})

test('the usual keys are such as anybody may choose', () => {
  const all = commands.flatMap((command) => command.keys ?? [])
  expect(all.map((keys) => [keys, whyNotStroke(keys)]).filter(([, why]) => why !== null)).toEqual([])
})

test('a key given to a command is lost by the one that had it, and comes back when it is reset', () => {
  const lift = commands.find((command) => command.id === 'view.lift')!
  const fit = commands.find((command) => command.id === 'view.fit')!
  let own: OwnKeys = giveKeys({}, 'view.lift', ['f'])
  expect(commandForKey(press('f'), false, own, false)).toBe(lift)
  expect(commandForKey(press('l'), false, own, false)).toBe(null)
  expect(keysOf(fit, own)).toEqual(['home'])
  own = giveKeys(own, 'view.fit', ['f'])
  expect(commandWithKeys('f', own)).toBe(fit)
  expect(keysOf(lift, own)).toEqual([])
  own = resetKeys(resetKeys(own, 'view.lift'), 'view.fit')
  expect(own).toEqual({})
  expect(commandWithKeys('l', own)).toBe(lift)
})

test('keys stored by another version or spoiled are left out, the rest is kept', () => {
  expect(readOwnKeys('{"view.lift":["mod+l"],"view.fit":"f","x":[1],"gone":["q"]}')).toEqual({
    'view.lift': ['mod+l'],
    gone: ['q'],
  })
  expect(readOwnKeys('[]')).toEqual({})
  expect(readOwnKeys('null')).toEqual({})
})

test('what older habits need is refused with its reason', () => {
  for (const keys of ['escape', 'tab', 'enter', 'arrowup', 'mod+c', 'mod+v', 'mod+w', 'pagedown'])
    expect(whyNotStroke(keys), keys).toMatch(/\.$/)
  for (const keys of ['q', 'mod+l', 'f2', 'alt+9', 'mod+shift+p', 'mod+enter']) expect(whyNotStroke(keys)).toBe(null)
})
