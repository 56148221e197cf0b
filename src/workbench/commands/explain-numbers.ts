import { CircleQuestionMark } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const explainNumbers: Command = {
  id: 'window.explain-numbers',
  label: 'Mark numbers that explain themselves',
  group: 'Window',
  icon: CircleQuestionMark,
  keys: ['e'],
  enabled: needsPlan,
  checked: (state) => state.explaining,
  run: ({ store }) => store.getState().markNumbers(!store.getState().explaining),
}
