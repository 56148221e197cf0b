import { useState } from 'react'
import type { Lesson } from '../../casefile/lesson.ts'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { recordedStep, withChangedStep, withoutStep, withStep } from './draft.ts'
import { StepDialog } from './step-dialog.tsx'

/** Over the view while a lesson is recorded: its steps, and what can be done with the one that is shown. */
export function LessonBar() {
  const lesson = useWorkbenchState((state) => (state.lessonMode === 'edit' ? state.lesson : null))
  return lesson ? <Editing lesson={lesson} /> : null
}

function Editing({ lesson }: { readonly lesson: Lesson }) {
  const { store } = useWorkbench()
  const step = useWorkbenchState((state) => state.lessonStep)
  const [asking, setAsking] = useState(false)
  const at = Math.min(step, lesson.steps.length - 1)
  const shown = lesson.steps[at]
  const change = (next: Lesson, to: number) => store.getState().changeLesson(next, Math.max(0, to))
  const record = () => {
    const next = withStep(lesson, at + 1, recordedStep(store.getState(), at))
    change(next, at + 1)
    setAsking(true)
  }
  const takeAgain = () => {
    if (!shown) return
    const { title: _title, words: _words, ...seen } = recordedStep(store.getState(), at - 1)
    const { camera: _camera, look: _look, at: _at, hide: _hide, boneOpacity: _opacity, ...kept } = shown
    change(withChangedStep(lesson, at, { ...kept, ...seen }), at)
  }
  const move = (by: -1 | 1) => {
    if (!shown || !lesson.steps[at + by]) return
    change(withStep(withoutStep(lesson, at), at + by, shown), at + by)
  }
  return (
    <section className="lesson-bar" aria-label={text.lessonEditor}>
      <input
        className="lesson-title"
        aria-label={text.lessonTitle}
        value={lesson.title}
        maxLength={200}
        onChange={(event) => change({ ...lesson, title: event.target.value }, step)}
      />
      <ol className="lesson-chips">
        {lesson.steps.map((one, k) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a step has no name of its own but its place
          <li key={k}>
            <button
              type="button"
              className="button chip"
              aria-current={k === at ? 'step' : undefined}
              title={one.title}
              aria-label={`Step ${k + 1}: ${one.title}`}
              onClick={() => store.getState().goToStep(k)}
            >
              {k + 1}
            </button>
          </li>
        ))}
      </ol>
      <button type="button" className="button strong" onClick={record}>
        {text.recordStep}
      </button>
      {shown ? (
        <>
          <button type="button" className="button" onClick={() => setAsking(true)}>
            {text.stepWords}
          </button>
          <button type="button" className="button" title={text.takeAgainNote} onClick={takeAgain}>
            {text.takeAgain}
          </button>
          <button type="button" className="button" disabled={at === 0} onClick={() => move(-1)}>
            {text.earlier}
          </button>
          <button type="button" className="button" disabled={at === lesson.steps.length - 1} onClick={() => move(1)}>
            {text.later}
          </button>
          <button type="button" className="button" onClick={() => change(withoutStep(lesson, at), at - 1)}>
            {text.removeStep}
          </button>
        </>
      ) : (
        <span className="field-note">{text.recordHint}</span>
      )}
      <button type="button" className="button" onClick={() => store.getState().endLesson()}>
        {text.lessonDone}
      </button>
      {asking && shown ? (
        <StepDialog
          key={at}
          step={shown}
          onClose={() => setAsking(false)}
          onChange={(next) => change(withChangedStep(lesson, at, next), at)}
        />
      ) : null}
    </section>
  )
}
