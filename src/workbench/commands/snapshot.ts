import { Camera } from 'lucide-react'
import { takeSnapshot } from '../live/take-snapshot.ts'
import { type Command, needsBone } from './command.ts'

export const snapshot: Command = {
  id: 'file.snapshot',
  label: 'Save a picture of the view…',
  group: 'File',
  icon: Camera,
  keys: ['mod+shift+e'],
  enabled: needsBone,
  run: takeSnapshot,
}
