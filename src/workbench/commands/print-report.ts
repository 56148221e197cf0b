import { Printer } from 'lucide-react'
import { findAlternatives } from '../live/report-of-case.ts'
import { type Command, needsPlan } from './command.ts'

export const printReport: Command = {
  id: 'file.print',
  label: 'Print the report…',
  group: 'File',
  icon: Printer,
  keys: ['mod+p'],
  enabled: needsPlan,
  run: async (workbench) => {
    const { store, host } = workbench
    store.getState().showStage('report')
    await findAlternatives(workbench)
    // The page to print is the report stage: it must be on the page before the dialog opens.
    requestAnimationFrame(() => requestAnimationFrame(() => host.print()))
  },
}
