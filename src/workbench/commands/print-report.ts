import { Printer } from 'lucide-react'
import { type Command, needsPlan } from './command.ts'

export const printReport: Command = {
  id: 'file.print',
  label: 'Print the report…',
  group: 'File',
  icon: Printer,
  keys: ['mod+p'],
  enabled: needsPlan,
  run: ({ store, host }) => {
    store.getState().showStage('report')
    // The page to print is the report stage: it must be on the page before the dialog opens.
    requestAnimationFrame(() => requestAnimationFrame(() => host.print()))
  },
}
