import { ChevronLeft, ChevronRight, NotebookText, X } from 'lucide-react'
import { useEffect, useRef, useState } from 'react'
import type { Lesson } from '../../casefile/lesson.ts'
import type { OwnCutScore } from '../../report/own-cut-score.ts'
import { CommandButton } from '../parts/command-button.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { fillWords } from './fill-words.ts'
import { useLessonKeys } from './lesson-keys.ts'
import { OwnCutCard, OwnCutScoreTable } from './own-cut-card.tsx'
import { Predict, Verdict } from './predict.tsx'

/** A lesson in place of the stage's controls: words in big type, a step at a time, by keyboard or by hand. */
export function LessonPlayer() {
  const lesson = useWorkbenchState((state) => (state.lessonMode === 'play' ? state.lesson : null))
  return lesson ? <Playing lesson={lesson} /> : null
}

function Playing({ lesson }: { readonly lesson: Lesson }) {
  const { store } = useWorkbench()
  const step = useWorkbenchState((state) => state.lessonStep)
  const findings = useWorkbenchState((state) => state.findings)
  const updating = useWorkbenchState((state) => state.updating)
  const [answered, setAnswered] = useState<ReadonlyMap<number, number>>(new Map())
  const [scores, setScores] = useState<ReadonlyMap<number, OwnCutScore>>(new Map())
  const [notesShown, setNotesShown] = useState(false)
  const card = useRef<HTMLElement>(null)
  const shown = lesson.steps[step]!
  const last = lesson.steps.length - 1
  const go = (to: number) => store.getState().goToStep(Math.min(last, Math.max(0, to)))
  const end = () => store.getState().endLesson()
  const score = scores.get(step)
  const asked = shown.predict !== undefined && !answered.has(step)
  const cutting = !asked && shown.ownCut !== undefined && score === undefined
  const answer = (k: number) => {
    if (!asked || k >= shown.predict!.answers.length) return
    setAnswered(new Map(answered).set(step, k))
    card.current?.focus()
  }
  useEffect(() => card.current?.focus(), [])
  useEffect(() => store.getState().conceal(asked || cutting), [store, asked, cutting])
  useLessonKeys({
    next: () => {
      if (!asked && step < last) go(step + 1)
    },
    back: () => go(step - 1),
    notes: () => setNotesShown(!notesShown),
    answer,
  })
  return (
    <section ref={card} className="lesson" aria-label={`Lesson: ${lesson.title}`} tabIndex={-1}>
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
        {asked && shown.predict ? (
          <Predict predict={shown.predict} onAnswer={answer} />
        ) : cutting && shown.ownCut ? (
          <OwnCutCard
            key={step}
            lesson={lesson}
            step={step}
            ownCut={shown.ownCut}
            onScore={(made) => {
              setScores(new Map(scores).set(step, made))
              store.getState().showRule()
              card.current?.focus()
            }}
          />
        ) : (
          <>
            <Verdict predict={shown.predict} answer={answered.get(step)} findings={findings} />
            {score ? <OwnCutScoreTable score={score} /> : null}
            <p className="lesson-words" aria-busy={updating}>
              {fillWords(shown.words, findings)}
            </p>
          </>
        )}
      </div>
      {shown.notes && notesShown ? (
        <aside className="lesson-notes" aria-label="Speaker notes">
          {shown.notes}
        </aside>
      ) : null}
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
          <button type="button" className="button strong" disabled={asked} onClick={() => go(step + 1)}>
            Next
            <ChevronRight aria-hidden size="1.1em" />
          </button>
        )}
      </div>
      <div className="lesson-tools" role="toolbar" aria-label="Lesson tools">
        <CommandButton id="lesson.pointer" label="Pointer" className="chip" />
        <CommandButton id="lesson.pen" label="Pen" className="chip" />
        <CommandButton id="lesson.clear" label="Clear" className="chip" />
        {shown.notes ? (
          <button
            type="button"
            className="button chip"
            aria-pressed={notesShown}
            title="Speaker notes (N)"
            onClick={() => setNotesShown(!notesShown)}
          >
            <NotebookText aria-hidden size="1.1em" />
            Notes
          </button>
        ) : null}
        <CommandButton id="window.full-screen" label="Full screen" className="chip" />
      </div>
    </section>
  )
}
