import type { Command } from './command.ts'
import { commands } from './list.ts'
import { keysOf, type OwnKeys } from './own-keys.ts'
import { type KeyPress, strokeOf } from './stroke.ts'

/** The command that answers to these keys now. */
export const commandWithKeys = (stroke: string, own: OwnKeys): Command | null =>
  commands.find((command) => keysOf(command, own).includes(stroke)) ?? null

/** The command a key press stands for. While something is being typed, only keys with `mod` or `alt` count. */
export function commandForKey(press: KeyPress, typing: boolean, own: OwnKeys, mac?: boolean): Command | null {
  const stroke = strokeOf(press, mac)
  if (stroke === null || (typing && !/^(mod|alt)\+/.test(stroke))) return null
  return commandWithKeys(stroke, own)
}
