import { FileDown, Printer } from 'lucide-react'
import type { Result } from '../../failure.ts'
import { findAlternatives } from '../live/report-of-case.ts'
import type { Workbench } from '../workbench.ts'
import { type Command, needsPlan } from './command.ts'

export const printReport: Command = {
  id: 'file.print',
  label: 'Print the report…',
  group: 'File',
  icon: Printer,
  keys: ['mod+p'],
  enabled: needsPlan,
  run: (workbench) => onPaper(workbench, ({ host }) => host.print()),
}

/** The desktop writes the file itself; a browser's print dialog offers it. */
export const savePdf: Command = {
  id: 'file.save-pdf',
  label: 'Save the report as PDF…',
  group: 'File',
  icon: FileDown,
  enabled: (state) =>
    state.savesPdf ? needsPlan(state) : 'A browser saves PDF from its print dialog: Print the report.',
  run: (workbench) =>
    onPaper(workbench, async ({ host }) => (host.savePdf ? host.savePdf('rehearsal-expectation.pdf') : host.print())),
}

/** What goes on paper is the report stage: it must be on the page, whole, before it is taken. */
async function onPaper(workbench: Workbench, take: (workbench: Workbench) => Promise<Result<void>>): Promise<void> {
  const { store } = workbench
  store.getState().showStage('report')
  await findAlternatives(workbench)
  await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))
  const taken = await take(workbench)
  if (!taken.ok) store.getState().notify(taken.failure)
}
