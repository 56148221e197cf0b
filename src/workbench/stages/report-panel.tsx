import { Printer } from 'lucide-react'
import { CommandButton } from '../parts/command-button.tsx'
import { Section } from '../parts/section.tsx'
import { useWorkbenchState } from '../workbench.ts'
import { AchievedSection } from './achieved-section.tsx'
import { ExportChoices } from './export-choices.tsx'
import { MeasuredSection } from './measured-section.tsx'

/** What can be taken along. */
export function ReportPanel() {
  const savesPdf = useWorkbenchState((state) => state.savesPdf)
  return (
    <>
      <Section title="Take along">
        <CommandButton id="file.print" className="wide strong" icon={Printer} />
        {savesPdf ? <CommandButton id="file.save-pdf" className="wide" /> : null}
        <CommandButton id="file.save-html" className="wide" />
        <CommandButton id="file.save-json" className="wide" />
        <CommandButton id="file.save-csv" className="wide" />
        <CommandButton id="file.snapshot" className="wide" />
      </Section>
      <ExportChoices />
      <MeasuredSection />
      <AchievedSection />
    </>
  )
}
