import { Check, TriangleAlert } from 'lucide-react'
import { useEffect, useRef } from 'react'
import type { Lesson, OwnCut } from '../../casefile/lesson.ts'
import { documentAt } from '../../casefile/lesson-edits.ts'
import { type OwnCutScore, scoreOwnCut } from '../../report/own-cut-score.ts'
import { CaseNumberField } from '../stages/case-number-field.tsx'
import { useStudy } from '../studies/use-study.ts'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { ownCutFields } from './own-cut-fields.ts'

interface OwnCutCardProps {
  readonly lesson: Lesson
  readonly step: number
  readonly ownCut: OwnCut
  readonly onScore: (score: OwnCutScore) => void
}

/** The trainee's own cut: numbers to enter (or handles to pull), then the comparison with what the rule gives here. */
export function OwnCutCard({ lesson, step, ownCut, onScore }: OwnCutCardProps) {
  const { store } = useWorkbench()
  const findings = useWorkbenchState((state) => state.findings)
  const failure = useWorkbenchState((state) => state.failure)
  const updating = useWorkbenchState((state) => state.updating)
  const { output, failure: ruleFailure, run } = useStudy('assess')
  const first = useRef({ lesson, step, run })
  useEffect(() => {
    const { lessonHistory } = store.getState()
    const { lesson: shown, step: at, run: begin } = first.current
    if (!lessonHistory) return
    const { document } = documentAt(lessonHistory.present, shown, at)
    begin({ document, fileWarnings: [], depth: 'live' })
  }, [store])
  const ready = output !== null && findings !== null && !updating
  const score = () => {
    if (!output || !findings) return
    const { saw, stance } = store.getState().history.present
    const paths = ownCut.fields.map(({ path }) => path)
    onScore(scoreOwnCut(output.findings, findings, paths, saw, stance.pose))
  }
  return (
    <div className="own-cut">
      <p className="lesson-words">{ownCut.ask}</p>
      {ownCut.fields.map(({ path }) => {
        const field = ownCutFields[path]
        return field ? <CaseNumberField key={path} field={{ ...field, note: text.ownCutNote }} /> : null
      })}
      {failure && !updating ? <p className="lesson-notes">{failure.message}</p> : null}
      {ruleFailure ? <p className="lesson-notes">{ruleFailure.message}</p> : null}
      <button type="button" className="button strong wide" disabled={!ready} onClick={score}>
        {ready || failure ? text.compareWithRule : text.working}
      </button>
    </div>
  )
}

/** How the own cut did, line by line, each with its reason. */
export function OwnCutScoreTable({ score }: { readonly score: OwnCutScore }) {
  return (
    <div className="own-cut-score">
      <p className="lesson-verdict">
        {score.held} of {score.lines.length} held against the rule on this knee. The view now shows the rule’s cut.
      </p>
      <ul>
        {score.lines.map((line) => (
          <li key={line.what} data-held={line.held ? 'yes' : 'no'}>
            {line.held ? <Check aria-hidden size="1.1em" /> : <TriangleAlert aria-hidden size="1.1em" />}
            <strong>{line.what}</strong>
            <span>
              yours {line.own}, rule {line.rule}
            </span>
            <span className="own-cut-reason">
              {line.held ? 'Held. ' : 'Not held. '}
              {line.reason}
            </span>
          </li>
        ))}
      </ul>
    </div>
  )
}
