import type { Layer, PresetName } from '../store/viewport-slice.ts'
import type { StageName } from '../text/messages.ts'

/** A change of the case by a stable path, as `--set` makes it; null leaves the number to the recipe. */
export interface LessonEdit {
  readonly path: string
  readonly value: number | string | boolean | null
}

/** A question before the answer is shown. */
export interface Prediction {
  readonly question: string
  readonly answers: readonly string[]
  /** Which answer is right on the knee that is open: the first whose threshold the number at this path exceeds, else the last. */
  readonly right: { readonly path: string; readonly above: readonly number[] }
}

/** One step: what is shown, what the case becomes, what is said. */
export interface LessonStep {
  readonly title: string
  /** `{{angles.mptaDeg}}` is replaced by that number of the findings, so another bone tells its own. */
  readonly words: string
  readonly notes?: string
  readonly stage: StageName
  /** Made to the case as it was when the lesson began, after the edits of the steps before. */
  readonly edits: readonly LessonEdit[]
  readonly look?: PresetName
  readonly at?: 'all' | 'knee'
  readonly lift?: boolean
  readonly hide?: readonly Layer[]
  readonly predict?: Prediction
}

export interface Lesson {
  readonly id: string
  readonly title: string
  readonly sentence: string
  /** The demo case to teach on where nothing is open. */
  readonly demo: string
  readonly steps: readonly LessonStep[]
}
