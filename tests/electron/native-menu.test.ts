import { describe, expect, it } from 'vitest'
import { contract } from '../../electron/contract.ts'
import { commands } from '../../src/workbench/commands/list.ts'
import { nativeMenu } from '../../src/workbench/commands/native-menu.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'

describe('the native menu made from the list of commands', () => {
  const menu = nativeMenu(createWorkbenchStore().getState())
  const items = menu.flatMap((section) => section.groups.flat())

  it('holds every command once', () => {
    expect(items.map((item) => item.id).sort()).toEqual(commands.map((command) => command.id).sort())
  })

  it('is accepted by the main process as it is sent', () => {
    expect(contract['menu:show'].input.safeParse({ menu: structuredClone(menu) }).success).toBe(true)
  })

  it('gives no two commands the same keys, and no single letter that someone may be typing', () => {
    const keys = items.flatMap((item) => (item.accelerator === null ? [] : [item.accelerator]))
    expect(new Set(keys).size).toBe(keys.length)
    expect(keys.every((key) => key.startsWith('CmdOrCtrl+'))).toBe(true)
  })

  it('shows the keys that were chosen in place of the usual ones, and none that a native menu cannot name', () => {
    const store = createWorkbenchStore()
    store.getState().chooseKeys('file.save', ['mod+shift+d'])
    store.getState().chooseKeys('edit.undo', ['mod+ä'])
    const changed = nativeMenu(store.getState()).flatMap((section) => section.groups.flat())
    const of = (id: string) => changed.find((item) => item.id === id)!.accelerator
    expect(of('file.save')).toBe('CmdOrCtrl+Shift+D')
    expect(of('edit.undo')).toBe(null)
    expect(of('file.open')).toBe('CmdOrCtrl+O')
  })
})
