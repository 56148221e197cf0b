import { Braces, FileText, Sheet } from 'lucide-react'
import { sitesCsv } from '../../report/csv.ts'
import { findingsJson } from '../../report/findings-json.ts'
import { reportHtml } from '../../report/html.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { type Command, needsPlan } from './command.ts'

/** What is written carries no name of the case or of its files unless it is asked for. */
const publicName = 'Untitled'

async function save(
  { store, host }: Workbench,
  name: string,
  type: string,
  make: (state: WorkbenchState, findings: NonNullable<WorkbenchState['findings']>) => string,
): Promise<void> {
  const state = store.getState()
  if (!state.findings) return
  const saved = await host.save(name, make(state, state.findings), type)
  if (!saved.ok) state.notify(saved.failure)
}

export const saveReport: Command = {
  id: 'file.save-html',
  label: 'Save the report as HTML…',
  group: 'File',
  icon: FileText,
  enabled: needsPlan,
  run: (workbench) =>
    save(workbench, 'rehearsal-expectation.html', 'text/html', ({ drawing, history }, findings) =>
      reportHtml({ findings, drawing, caseName: publicName, notes: history.present.notes }),
    ),
}

export const saveFindings: Command = {
  id: 'file.save-json',
  label: 'Save the findings as JSON…',
  group: 'File',
  icon: Braces,
  enabled: needsPlan,
  run: (workbench) =>
    save(
      workbench,
      'findings.json',
      'application/json',
      (_state, findings) => `${JSON.stringify(findingsJson(findings), null, 2)}\n`,
    ),
}

export const saveSites: Command = {
  id: 'file.save-csv',
  label: 'Save the sites as CSV…',
  group: 'File',
  icon: Sheet,
  enabled: needsPlan,
  run: (workbench) => save(workbench, 'sites.csv', 'text/csv', (_state, findings) => sitesCsv(findings)),
}
