import { Camera } from 'lucide-react'
import { type Command, needsBone } from './command.ts'

export const snapshot: Command = {
  id: 'file.snapshot',
  label: 'Picture of the view…',
  group: 'File',
  icon: Camera,
  keys: ['mod+shift+e'],
  enabled: needsBone,
  run: ({ store }) => store.getState().showSnapshot(true),
}
