import { ChartLine } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const sweep: Command = {
  id: 'study.sweep',
  label: 'Sweep a parameter…',
  group: 'Edit',
  icon: ChartLine,
  keys: ['w'],
  enabled: needsPlan,
  run: ({ store }) => store.getState().showStudy('sweep'),
}
