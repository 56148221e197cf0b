import { ChevronLeft, ChevronRight, X } from 'lucide-react'
import { useEffect, useRef, useState } from 'react'
import type { Lesson, Prediction } from '../../casefile/lesson.ts'
import type { Findings } from '../../findings.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { fillWords, rightAnswer } from './fill-words.ts'

/** A lesson in place of the stage's controls: words in big type, a step at a time, by keyboard or by hand. */
export function LessonPlayer() {
  const lesson = useWorkbenchState((state) => state.lesson)
  return lesson ? <Playing lesson={lesson} /> : null
}

function Playing({ lesson }: { readonly lesson: Lesson }) {
  const { store } = useWorkbench()
  const step = useWorkbenchState((state) => state.lessonStep)
  const findings = useWorkbenchState((state) => state.findings)
  const updating = useWorkbenchState((state) => state.updating)
  const [answered, setAnswered] = useState<ReadonlyMap<number, number>>(new Map())
  const card = useRef<HTMLElement>(null)
  const shown = lesson.steps[step]!
  const last = lesson.steps.length - 1
  const go = (to: number) => store.getState().goToStep(Math.min(last, Math.max(0, to)))
  const end = () => store.getState().endLesson()
  useEffect(() => card.current?.focus(), [])
  const waiting = shown.predict !== undefined && !answered.has(step)
  useEffect(() => store.getState().conceal(waiting), [store, waiting])
  return (
    <section
      ref={card}
      className="lesson"
      aria-label={`Lesson: ${lesson.title}`}
      tabIndex={-1}
      onKeyDown={(event) => {
        if (event.key === 'ArrowRight' || event.key === 'PageDown' || event.key === ' ') {
          if (event.key === ' ' && event.target instanceof HTMLButtonElement) return
          if (!waiting) go(step + 1)
        } else if (event.key === 'ArrowLeft' || event.key === 'PageUp') go(step - 1)
        else if (event.key === 'Escape') end()
        else return
        event.preventDefault()
        event.stopPropagation()
      }}
    >
      <p className="lesson-name">
        {lesson.title}
        <button
          type="button"
          className="button quiet"
          aria-label="End the lesson"
          title="End the lesson (Escape)"
          onClick={end}
        >
          <X aria-hidden size="1.1em" />
        </button>
      </p>
      <div aria-live="polite">
        <h2 className="lesson-step">{shown.title}</h2>
        {waiting && shown.predict ? (
          <Predict
            predict={shown.predict}
            onAnswer={(answer) => {
              setAnswered(new Map(answered).set(step, answer))
              card.current?.focus()
            }}
          />
        ) : (
          <>
            <Verdict predict={shown.predict} answer={answered.get(step)} findings={findings} />
            <p className="lesson-words" aria-busy={updating}>
              {fillWords(shown.words, findings)}
            </p>
            {shown.notes ? <p className="lesson-notes">{shown.notes}</p> : null}
          </>
        )}
      </div>
      <div className="lesson-steps">
        <button type="button" className="button" disabled={step === 0} onClick={() => go(step - 1)}>
          <ChevronLeft aria-hidden size="1.1em" />
          Back
        </button>
        <span>
          {step + 1} of {lesson.steps.length}
        </span>
        {step === last ? (
          <button type="button" className="button strong" onClick={end}>
            Done
          </button>
        ) : (
          <button type="button" className="button strong" disabled={waiting} onClick={() => go(step + 1)}>
            Next
            <ChevronRight aria-hidden size="1.1em" />
          </button>
        )}
      </div>
    </section>
  )
}

interface PredictProps {
  readonly predict: Prediction
  readonly onAnswer: (answer: number) => void
}

function Predict({ predict, onAnswer }: PredictProps) {
  return (
    <div className="lesson-predict">
      <p className="lesson-words">{predict.question}</p>
      {predict.answers.map((answer, k) => (
        <button key={answer} type="button" className="button wide" onClick={() => onAnswer(k)}>
          {answer}
        </button>
      ))}
    </div>
  )
}

interface VerdictProps {
  readonly predict: Prediction | undefined
  readonly answer: number | undefined
  readonly findings: Findings | null
}

function Verdict({ predict, answer, findings }: VerdictProps) {
  if (!predict || answer === undefined) return null
  const right = rightAnswer(predict, findings)
  const verdict =
    right === null ? '' : right === answer ? 'On this knee, so it is.' : `On this knee: ${predict.answers[right]}.`
  return (
    <p className="lesson-verdict">
      You said: {predict.answers[answer]}. {verdict}
    </p>
  )
}
