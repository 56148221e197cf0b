import { Focus } from 'lucide-react'
import { type Command, needsBone } from './command.ts'

export const fitKnee: Command = {
  id: 'view.knee',
  label: 'Close in on the knee',
  group: 'View',
  icon: Focus,
  keys: ['k'],
  enabled: needsBone,
  run: ({ store }) => store.getState().moveCamera({ kind: 'fit', what: 'knee' }),
}
