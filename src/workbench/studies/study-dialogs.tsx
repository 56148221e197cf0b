import { ComponentDialog } from '../stages/component-dialog.tsx'
import { useWorkbenchState } from '../workbench.ts'
import { CompareDialog } from './compare-dialog.tsx'
import { SawOffDialog } from './saw-off-dialog.tsx'
import { SeriesDialog } from './series-dialog.tsx'
import { SweepDialog } from './sweep-dialog.tsx'

/** The study that is open, if any. */
export function StudyDialogs() {
  const study = useWorkbenchState((state) => state.study)
  if (study === 'compare') return <CompareDialog />
  if (study === 'sweep') return <SweepDialog />
  if (study === 'series') return <SeriesDialog />
  if (study === 'components') return <ComponentDialog />
  if (study === 'saw-off') return <SawOffDialog />
  return null
}
