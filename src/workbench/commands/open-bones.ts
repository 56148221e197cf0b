import { FolderOpen } from 'lucide-react'
import { openFiles } from '../live/open-files.ts'
import type { Command } from './command.ts'

export const openBones: Command = {
  id: 'file.open',
  label: 'Open bones…',
  group: 'File',
  icon: FolderOpen,
  keys: ['mod+o'],
  run: async (workbench) => openFiles(workbench, await workbench.host.chooseFiles()),
}
