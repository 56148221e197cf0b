import { Columns4 } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const compareRecipes: Command = {
  id: 'study.compare',
  label: 'Compare recipes…',
  group: 'Edit',
  icon: Columns4,
  keys: ['c'],
  enabled: needsPlan,
  run: ({ store }) => store.getState().showStudy('compare'),
}
