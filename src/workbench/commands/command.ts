import type { LucideIcon } from 'lucide-react'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'

export const commandGroups = ['File', 'Edit', 'Stage', 'View', 'Lessons', 'Window'] as const
export type CommandGroup = (typeof commandGroups)[number]

/** One thing the window can do. Menu, toolbar, palette, keys and the sheet of keys all come from the list of these. */
export interface Command {
  readonly id: string
  readonly label: string | ((state: WorkbenchState) => string)
  readonly group: CommandGroup
  readonly icon?: LucideIcon
  /** `mod` is Ctrl, or Cmd on a Mac. A key without `mod` works only while nothing is being typed. */
  readonly keys?: readonly string[]
  /** true, or the reason why not. */
  readonly enabled?: (state: WorkbenchState) => true | string
  /** For what is on or off. */
  readonly checked?: (state: WorkbenchState) => boolean
  readonly run: (workbench: Workbench) => void | Promise<void>
}

export const labelOf = (command: Command, state: WorkbenchState): string =>
  typeof command.label === 'string' ? command.label : command.label(state)

export const whyNot = (command: Command, state: WorkbenchState): string | null => {
  const enabled = command.enabled?.(state) ?? true
  return enabled === true ? null : enabled
}

export const needsBone = (state: WorkbenchState): true | string =>
  state.history.present.meshes.femur || state.history.present.meshes.tibia ? true : 'No bones are open yet.'

export const needsPlan = (state: WorkbenchState): true | string =>
  state.findings ? true : (state.failure?.message ?? 'Needs a femur and a tibia.')
