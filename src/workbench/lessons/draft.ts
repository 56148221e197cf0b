import type { CaseDocument } from '../../casefile/document.ts'
import type { Lesson, LessonStep } from '../../casefile/lesson.ts'
import { documentAt, editsBetween, firstEdits } from '../../casefile/lesson-edits.ts'
import type { WorkbenchState } from '../store/state.ts'

/** A lesson without steps, with a name of its own among those of the case. */
export function newLesson(taken: readonly Lesson[]): Lesson {
  const free = (k: number): string => (taken.some(({ id }) => id === `own-${k}`) ? free(k + 1) : `own-${k}`)
  const id = free(1)
  return { id, title: `Lesson ${id.slice(4)}`, sentence: '', demo: null, steps: [] }
}

/** The case with the lesson in its list, in its old place if it was there. */
export function withLesson(document: CaseDocument, lesson: Lesson): CaseDocument {
  const known = document.lessons.some(({ id }) => id === lesson.id)
  return {
    ...document,
    lessons: known
      ? document.lessons.map((other) => (other.id === lesson.id ? lesson : other))
      : [...document.lessons, lesson],
  }
}

export const withoutLesson = (document: CaseDocument, id: string): CaseDocument => ({
  ...document,
  lessons: document.lessons.filter((lesson) => lesson.id !== id),
})

/** What the window shows now as a step that comes after step `after` (−1: the first). */
export function recordedStep(state: WorkbenchState, after: number): LessonStep {
  const { lesson, lessonHistory, history } = state
  const edits =
    after < 0 || !lesson || !lessonHistory
      ? firstEdits(history.present)
      : editsBetween(documentAt(lessonHistory.present, lesson, after).document, history.present)
  const camera = state.readCamera?.()
  return {
    title: `Step ${after + 2}`,
    words: '',
    stage: state.stage,
    edits,
    ...(camera ? { camera } : {}),
    lift: state.liftPieces,
    ...(state.hidden.size > 0 ? { hide: [...state.hidden] } : {}),
    ...(state.seeThrough ? { boneOpacity: 0.35 } : {}),
  }
}

/** The lesson with a step put in at a place. */
export const withStep = (lesson: Lesson, at: number, step: LessonStep): Lesson => ({
  ...lesson,
  steps: lesson.steps.toSpliced(at, 0, step),
})

/** The lesson with one step changed. */
export const withChangedStep = (lesson: Lesson, at: number, step: LessonStep): Lesson => ({
  ...lesson,
  steps: lesson.steps.with(at, step),
})

export const withoutStep = (lesson: Lesson, at: number): Lesson => ({
  ...lesson,
  steps: lesson.steps.toSpliced(at, 1),
})
