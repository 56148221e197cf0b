import { Ruler } from 'lucide-react'
import { type Command, needsBone } from './command.ts'

export const measure: Command = {
  id: 'view.measure',
  label: 'Measure between two points',
  group: 'View',
  icon: Ruler,
  keys: ['d'],
  enabled: needsBone,
  checked: (state) => state.measuring,
  run: ({ store }) => {
    const state = store.getState()
    // Whole bones, in place: on the cuts stage pieces may be lifted away from where they were.
    if (!state.measuring && state.stage === 'cuts') state.showStage('bones')
    state.setMeasuring(!state.measuring)
  },
}
