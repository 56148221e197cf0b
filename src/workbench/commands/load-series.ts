import { Activity } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const loadSeries: Command = {
  id: 'study.series',
  label: 'Load series…',
  group: 'Edit',
  icon: Activity,
  enabled: needsPlan,
  run: ({ store }) => store.getState().showStudy('series'),
}
