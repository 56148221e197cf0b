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
})
