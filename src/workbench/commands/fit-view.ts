import { Maximize2 } from 'lucide-react'
import { type Command, needsBone } from './command.ts'

export const fitView: Command = {
  id: 'view.fit',
  label: 'Fit everything',
  group: 'View',
  icon: Maximize2,
  keys: ['f', 'home'],
  enabled: needsBone,
  run: ({ store }) => store.getState().moveCamera({ kind: 'fit', what: 'all' }),
}
