import { Dices } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const sawOff: Command = {
  id: 'study.saw-off',
  label: 'What if the saw is off…',
  group: 'Edit',
  icon: Dices,
  keys: ['o'],
  enabled: needsPlan,
  run: ({ store }) => store.getState().showStudy('saw-off'),
}
