import { Save, SaveAll } from 'lucide-react'
import { saveCase as save } from '../live/save-case.ts'
import { type Command, needsBone } from './command.ts'

export const saveCase: Command = {
  id: 'file.save',
  label: 'Save the case',
  group: 'File',
  icon: Save,
  keys: ['mod+s'],
  enabled: needsBone,
  run: async (workbench) => {
    await save(workbench)
  },
}

export const saveCaseAs: Command = {
  id: 'file.save-as',
  label: 'Save the case as…',
  group: 'File',
  icon: SaveAll,
  keys: ['mod+shift+s'],
  enabled: needsBone,
  run: async (workbench) => {
    await save(workbench, true)
  },
}
