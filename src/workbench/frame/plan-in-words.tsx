import { planInWords } from '../text/plan-in-words.ts'
import { useWorkbenchState } from '../workbench.ts'

/** The plan as sentences, for those who hear the window instead of seeing it; said again when it has settled. */
export function PlanInWords() {
  const words = useWorkbenchState((state) => {
    if (state.history.gesture || state.updating) return null
    if (state.findings) return planInWords(state.findings)
    return state.failure ? state.failure.message : ''
  })
  return (
    <p className="visually-hidden" role="status" aria-label="The plan in words">
      {words}
    </p>
  )
}
