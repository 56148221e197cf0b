import type { ReactNode } from 'react'
import { confidenceWord } from '../../anatomy/confidence-word.ts'
import { sceneText } from '../text/scene-words.ts'
import { useWorkbenchState } from '../workbench.ts'

/** What the forms of the landmarks' marks mean; only those that are there. */
export function MarkLegend() {
  const shown = useWorkbenchState(
    (state) => state.stage === 'landmarks' && state.handTool === 'landmark' && !state.hidden.has('landmarks'),
  )
  const landmarks = useWorkbenchState((state) => state.findings?.landmarks)
  if (!shown || !landmarks) return null
  const marks = Object.values(landmarks)
  const doubtful = marks.some(({ confidence }) => confidenceWord(confidence) === 'doubtful')
  const byHand = marks.some(({ source }) => source !== 'found')
  return (
    <ul className="view-legend mark-legend" aria-label={sceneText.marks}>
      <Form words={sceneText.markSeen}>
        <circle cx="6" cy="6" r="4" className="full" />
      </Form>
      <Form words={sceneText.markBehind}>
        <circle cx="6" cy="6" r="3.4" className="empty" />
      </Form>
      {doubtful ? (
        <Form words={sceneText.markDoubtful}>
          <path d="M6 1 11 6 6 11 1 6Z" className="doubtful" />
        </Form>
      ) : null}
      {byHand ? (
        <Form words={sceneText.markByHand}>
          <circle cx="6" cy="6" r="2.6" className="full" />
          <circle cx="6" cy="6" r="5" className="ring" />
        </Form>
      ) : null}
    </ul>
  )
}

function Form({ words, children }: { readonly words: string; readonly children: ReactNode }) {
  return (
    <li>
      <svg viewBox="0 0 12 12" aria-hidden="true">
        {children}
      </svg>
      {words}
    </li>
  )
}
