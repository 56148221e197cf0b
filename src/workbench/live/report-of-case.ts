import type { CaseDocument } from '../../casefile/document.ts'
import type { JobOutput } from '../../engine/contract.ts'
import { drawingInFull } from '../../engine/light-drawing.ts'
import type { ReportInput } from '../../report/html.ts'
import { withoutNames } from '../../report/without-names.ts'
import { openedBone } from '../store/bones-slice.ts'
import type { WorkbenchState } from '../store/state.ts'
import { runStudy } from '../studies/run-study.ts'
import type { Workbench } from '../workbench.ts'

/** What a case is called where its own name has not been asked for. */
export const plainName = 'Knee'

/** The recipes side by side, and of which case they are. */
export interface Alternatives {
  readonly document: CaseDocument
  readonly recipes: JobOutput<'compare-recipes'>['recipes']
}

/** Everything the report is laid out from, as page, print and file share it; null while there is no plan. */
export function reportInput(state: WorkbenchState): ReportInput | null {
  const { findings, drawing, history, namesInExports, alternatives } = state
  if (!findings) return null
  const { name, notes } = history.present
  return {
    findings: namesInExports ? findings : withoutNames(findings),
    drawing: drawing && drawingInFull(drawing),
    caseName: namesInExports ? name : plainName,
    notes: namesInExports ? notes : '',
    alternatives: alternatives?.document === history.present ? alternatives.recipes : null,
    pose: history.present.stance.pose,
  }
}

let running: { readonly document: CaseDocument; readonly done: Promise<void> } | null = null

/** Works the other recipes out for the report of the case that is open, once; what cannot be had is left out of it. */
export async function findAlternatives(workbench: Workbench): Promise<void> {
  const { store } = workbench
  const state = store.getState()
  const document = state.history.present
  if (!state.findings || state.alternatives?.document === document) return
  if (running?.document === document) return running.done
  const fileWarnings = (['femur', 'tibia'] as const).flatMap((bone) => openedBone(state, bone)?.fileWarnings ?? [])
  const job = runStudy(
    workbench,
    'compare-recipes',
    { document, fileWarnings, asRecipesSay: true },
    { signal: new AbortController().signal, onProgress: () => {} },
  )
  const done = job.then((compared) => {
    running = null
    if (compared.ok) store.setState({ alternatives: { document, recipes: compared.value.recipes } })
  })
  running = { document, done }
  return done
}
