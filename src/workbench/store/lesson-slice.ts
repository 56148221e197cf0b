import type { CaseDocument } from '../../casefile/document.ts'
import type { Lesson } from '../../casefile/lesson.ts'
import { documentAt } from '../lessons/apply-step.ts'
import type { Slice } from './state.ts'

export interface LessonSlice {
  readonly lesson: Lesson | null
  readonly lessonStep: number
  /** The case as it was when the lesson began: it comes back when the lesson ends. */
  readonly lessonBase: CaseDocument | null
  /** A prediction is asked for and not yet given: the numbers stay covered. */
  readonly concealed: boolean
  conceal(concealed: boolean): void
  startLesson(lesson: Lesson): void
  goToStep(step: number): void
  endLesson(): void
}

export const createLessonSlice: Slice<LessonSlice> = (set, get) => ({
  lesson: null,
  lessonStep: 0,
  lessonBase: null,
  concealed: false,
  conceal: (concealed) => set({ concealed }),
  startLesson: (lesson) => {
    get().begin(`lesson ${lesson.title}`)
    set({ lesson, lessonBase: get().history.present, present: true })
    get().goToStep(0)
  },
  goToStep: (step) => {
    const { lesson, lessonBase } = get()
    const shown = lesson?.steps[step]
    if (!lesson || !lessonBase || !shown) return
    const { document, failures } = documentAt(lessonBase, lesson, step)
    if (!get().history.gesture) get().begin(`lesson ${lesson.title}`)
    get().update(() => document)
    set({ lessonStep: step, stage: shown.stage, hidden: new Set(shown.hide ?? []), liftPieces: shown.lift ?? false })
    if (shown.camera) get().moveCamera({ kind: 'camera', camera: shown.camera })
    else if (shown.at && shown.look) get().moveCamera({ kind: 'fit', what: shown.at, preset: shown.look })
    else if (shown.at) get().moveCamera({ kind: 'fit', what: shown.at })
    else if (shown.look) get().moveCamera({ kind: 'preset', preset: shown.look })
    for (const failure of failures) get().notify(failure)
  },
  endLesson: () => {
    get().cancel()
    set({
      lesson: null,
      lessonBase: null,
      lessonStep: 0,
      concealed: false,
      present: false,
      hidden: new Set(),
      liftPieces: true,
    })
  },
})
