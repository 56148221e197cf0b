import type { CaseDocument } from '../../casefile/document.ts'
import type { Failure } from '../../failure.ts'
import type { Workbench } from '../workbench.ts'

/** What a choice of the user's can cause; the bones, landmarks and files are not to blame. */
const ofChoice = /^(cut|plan|stance|load|contact)\/|^(case\/out-of-range|landmark\/missing)$/

/**
 * Takes the last step back when it led where nothing can be planned, and says why, so that the plan before stays. `planned` is the
 * last case that could be planned: without it among the steps nothing is taken back. True when it was.
 */
export function refuseStep({ store }: Workbench, planned: CaseDocument | null, failure: Failure): boolean {
  const { history, lesson, takeBack, notify } = store.getState()
  const step = history.past.at(-1)
  // A lesson is one long gesture of its own.
  if (history.gesture || lesson || !step || !ofChoice.test(failure.code)) return false
  if (!history.past.some(({ document }) => document === planned)) return false
  notify({
    ...failure,
    message: `Refused: ${step.label}. ${failure.message}`,
    hint: [failure.hint, 'The plan before it stays.'].filter((part) => part !== null).join(' '),
  })
  takeBack()
  return true
}
