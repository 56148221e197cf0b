import { Save } from 'lucide-react'
import { saveCase as save } from '../live/save-case.ts'
import { type Command, needsBone } from './command.ts'

export const saveCase: Command = {
  id: 'file.save',
  label: 'Save the case…',
  group: 'File',
  icon: Save,
  keys: ['mod+s'],
  enabled: needsBone,
  run: save,
}
