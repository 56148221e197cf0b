import type { Lesson } from '../../casefile/lesson.ts'
import { Dialog } from '../frame/dialog.tsx'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { newLesson, withoutLesson } from './draft.ts'
import { exportLessonHtml, exportLessonPictures, saveLessonFile } from './export-lesson.ts'
import { shippedLessons } from './shipped.ts'
import { startLesson } from './start-lesson.ts'

/** Every lesson, the case's own first: play, change, write out. */
export function LessonsDialog() {
  const open = useWorkbenchState((state) => state.lessonsOpen)
  return open ? <OpenDialog /> : null
}

function OpenDialog() {
  const { store } = useWorkbench()
  const own = useWorkbenchState((state) => state.history.present.lessons)
  const bones = useWorkbenchState(
    ({ history: { present } }) => present.meshes.femur !== null && present.meshes.tibia !== null,
  )
  const close = () => store.getState().showLessons(false)
  return (
    <Dialog label={text.lessons} className="lessons-dialog" onClose={close}>
      <h2 className="dialog-title">{text.lessons}</h2>
      <section aria-label={text.ownLessons}>
        <h3 className="section-title">{text.ownLessons}</h3>
        {own.length === 0 ? <p className="field-note">{text.noOwnLessons}</p> : null}
        <ul className="lesson-list">
          {own.map((lesson) => (
            <LessonRow key={lesson.id} lesson={lesson} own bones={bones} onDone={close} />
          ))}
        </ul>
        <button
          type="button"
          className="button"
          disabled={!bones}
          title={bones ? undefined : text.lessonNeedsBones}
          onClick={() => {
            close()
            store.getState().startLesson(newLesson(own), 'edit')
          }}
        >
          {text.recordLesson}
        </button>
      </section>
      <section aria-label={text.shippedLessons}>
        <h3 className="section-title">{text.shippedLessons}</h3>
        <ul className="lesson-list">
          {shippedLessons.map((lesson) => (
            <LessonRow key={lesson.id} lesson={lesson} own={false} bones={bones} onDone={close} />
          ))}
        </ul>
      </section>
      <button type="button" className="button" onClick={close}>
        {text.close}
      </button>
    </Dialog>
  )
}

interface LessonRowProps {
  readonly lesson: Lesson
  readonly own: boolean
  readonly bones: boolean
  readonly onDone: () => void
}

function LessonRow({ lesson, own, bones, onDone }: LessonRowProps) {
  const workbench = useWorkbench()
  const { store } = workbench
  const then = (act: () => unknown) => () => {
    onDone()
    void act()
  }
  const button = (label: string, act: () => unknown, needsBones = false) => (
    <button
      type="button"
      className="button chip"
      aria-label={`${label}: ${lesson.title}`}
      disabled={needsBones && !bones}
      title={needsBones && !bones ? text.lessonNeedsBones : undefined}
      onClick={then(act)}
    >
      {label}
    </button>
  )
  const copied = () => ({
    ...lesson,
    ...newLesson(store.getState().history.present.lessons),
    title: lesson.title,
    steps: lesson.steps,
  })
  return (
    <li>
      <strong>{lesson.title}</strong>
      <span className="field-note">{lesson.sentence || `${lesson.steps.length} steps`}</span>
      <span className="lesson-acts">
        {button(text.play, () => startLesson(workbench, lesson))}
        {own
          ? button(text.change, () => store.getState().startLesson(lesson, 'edit'), true)
          : button(text.copyAndChange, () => store.getState().startLesson(copied(), 'edit'), true)}
        {button(text.exportHtml, () => exportLessonHtml(workbench, lesson), true)}
        {button(text.exportPictures, () => exportLessonPictures(workbench, lesson), true)}
        {button(text.saveAsFile, () => saveLessonFile(workbench, lesson))}
        {own
          ? button(text.remove, () =>
              store.getState().edit(`remove lesson ${lesson.title}`, (document) => withoutLesson(document, lesson.id)),
            )
          : null}
      </span>
    </li>
  )
}
