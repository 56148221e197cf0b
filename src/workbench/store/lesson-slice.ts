import type { CaseDocument } from '../../casefile/document.ts'
import { type History, newHistory } from '../../casefile/history.ts'
import type { Lesson, LessonStep } from '../../casefile/lesson.ts'
import { beforeOwnCut, documentAt } from '../../casefile/lesson-edits.ts'
import { withLesson } from '../lessons/draft.ts'
import type { Slice, WorkbenchState } from './state.ts'

export interface LessonSlice {
  readonly lesson: Lesson | null
  readonly lessonStep: number
  /** `play` shows the lesson; `edit` records and changes it. */
  readonly lessonMode: 'play' | 'edit'
  /** The case and its steps as they were when the lesson began: they come back when it ends. */
  readonly lessonHistory: History | null
  /** A prediction is asked for and not yet given, or an own cut is under way: the numbers stay covered. */
  readonly concealed: boolean
  conceal(concealed: boolean): void
  startLesson(lesson: Lesson, mode?: LessonSlice['lessonMode']): void
  goToStep(step: number): void
  /** After an own cut has been compared: the step as the rule has it. */
  showRule(): void
  /** Replaces the lesson in hand while it is edited; nothing is shown anew. */
  changeLesson(lesson: Lesson, step: number): void
  /** Playing: everything is as it was. Editing: so it is too, and the case keeps the lesson. */
  endLesson(): void
}

export const createLessonSlice: Slice<LessonSlice> = (set, get) => ({
  lesson: null,
  lessonStep: 0,
  lessonMode: 'play',
  lessonHistory: null,
  concealed: false,
  conceal: (concealed) => set({ concealed }),
  startLesson: (lesson, lessonMode = 'play') => {
    if (get().lesson) get().endLesson()
    get().cancel()
    set({ lesson, lessonMode, lessonHistory: get().history, present: lessonMode === 'play' })
    get().goToStep(0)
  },
  goToStep: (step) => {
    const { lesson, lessonHistory, lessonMode } = get()
    const shown = lesson?.steps[step]
    if (!lesson || !lessonHistory || !shown) return
    const { document, failures } = documentAt(lessonHistory.present, lesson, step)
    const begins = lessonMode === 'play' ? beforeOwnCut(document, shown) : document
    set({ history: newHistory(begins), lessonStep: step, strokes: [], ...sightOf(shown) })
    const { camera, look } = shown
    const at = shown.at ?? (look && framedBefore(lesson, step))
    if (camera) get().moveCamera({ kind: 'camera', camera })
    else if (at && look) get().moveCamera({ kind: 'fit', what: at, preset: look })
    else if (at) get().moveCamera({ kind: 'fit', what: at })
    else if (look) get().moveCamera({ kind: 'preset', preset: look })
    for (const failure of failures) get().notify(failure)
  },
  showRule: () => {
    const { lesson, lessonHistory, lessonStep } = get()
    if (lesson && lessonHistory)
      set({ history: newHistory(documentAt(lessonHistory.present, lesson, lessonStep).document), liftPieces: true })
  },
  changeLesson: (lesson, lessonStep) => set({ lesson, lessonStep }),
  endLesson: () => {
    const { lesson, lessonHistory, lessonMode } = get()
    set({
      ...(lessonHistory ? { history: lessonHistory } : {}),
      lesson: null,
      lessonHistory: null,
      lessonStep: 0,
      lessonMode: 'play',
      concealed: false,
      present: false,
      marker: 'off',
      strokes: [],
      hidden: new Set(),
      liftPieces: true,
      seeThrough: false,
    })
    if (lesson && lessonMode === 'edit' && lesson.steps.length > 0)
      get().edit(`lesson ${lesson.title}`, (document) => withLesson(document, lesson))
  },
})

/** The case as it would be saved now: behind a lesson stands the one that comes back when it ends. */
export function caseInHand({ history, lesson, lessonMode, lessonHistory }: WorkbenchState): CaseDocument {
  if (!lessonHistory) return history.present
  return lesson && lessonMode === 'edit' && lesson.steps.length > 0
    ? withLesson(lessonHistory.present, lesson)
    : lessonHistory.present
}

/** What an earlier step of the same stage closed in on: a step is seen the same way from wherever it is reached. */
function framedBefore({ steps }: Lesson, step: number): LessonStep['at'] {
  for (let k = step - 1; k >= 0 && steps[k]!.stage === steps[step]!.stage && !steps[k]!.camera; k--)
    if (steps[k]!.at) return steps[k]!.at
  return undefined
}

const sightOf = ({ stage, hide, lift, boneOpacity }: LessonStep) => ({
  stage,
  hidden: new Set(hide ?? []),
  liftPieces: lift ?? false,
  seeThrough: (boneOpacity ?? 1) < 1,
})
