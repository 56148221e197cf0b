import { Braces, FileText, Sheet } from 'lucide-react'
import { sitesCsv } from '../../report/csv.ts'
import { csvFormats } from '../../report/csv-format.ts'
import { findingsJson, jsonText } from '../../report/findings-json.ts'
import { reportHtml } from '../../report/html.ts'
import { withoutNames } from '../../report/without-names.ts'
import { findAlternatives, reportInput } from '../live/report-of-case.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { type Command, needsPlan } from './command.ts'

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
  run: async (workbench) => {
    await findAlternatives(workbench)
    await save(workbench, 'rehearsal-expectation.html', 'text/html', (state) => {
      const input = reportInput(state)
      return input ? reportHtml(input) : ''
    })
  },
}

export const saveFindings: Command = {
  id: 'file.save-json',
  label: 'Save the findings as JSON…',
  group: 'File',
  icon: Braces,
  enabled: needsPlan,
  run: (workbench) =>
    save(workbench, 'findings.json', 'application/json', ({ namesInExports }, findings) =>
      jsonText(findingsJson(namesInExports ? findings : withoutNames(findings))),
    ),
}

export const saveSites: Command = {
  id: 'file.save-csv',
  label: 'Save the sites as CSV…',
  group: 'File',
  icon: Sheet,
  enabled: needsPlan,
  run: (workbench) =>
    save(workbench, 'sites.csv', 'text/csv', ({ csvFormat }, findings) => sitesCsv(findings, csvFormats[csvFormat])),
}
