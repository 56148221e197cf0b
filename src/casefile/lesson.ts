import type { Layer, SavedCamera, StageName } from './saved-view.ts'

/** A change of the case by a stable path, as `--set` makes it; `cuts` with null gives every cut back to the recipe. */
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

/** The trainee enters these numbers; they are then compared with what the case at this step says by itself. */
export interface OwnCut {
  readonly ask: string
  /** Stable paths of cuts, each of which begins at `from`. */
  readonly fields: readonly { readonly path: string; readonly from: number }[]
}

/** How a lesson looks at the knee: by name, so that it fits any bone. */
export const lookNames = [
  'anterior',
  'posterior',
  'medial',
  'lateral',
  'proximal',
  'distal',
  'along-cut',
  'onto-cut',
] as const
export type LookName = (typeof lookNames)[number]

/** One step: what is shown, what the case becomes, what is said. */
export interface LessonStep {
  readonly title: string
  /** `{{angles.mptaDeg}}` is replaced by that number of the findings, so another bone tells its own. */
  readonly words: string
  /** For the one who speaks. */
  readonly notes?: string
  readonly stage: StageName
  /** Made to the case as it was when the lesson began, after the edits of the steps before. */
  readonly edits: readonly LessonEdit[]
  readonly look?: LookName
  readonly at?: 'all' | 'knee'
  /** An exact place to look from, after `at` and `look`. */
  readonly camera?: SavedCamera
  readonly lift?: boolean
  readonly hide?: readonly Layer[]
  readonly boneOpacity?: number
  readonly predict?: Prediction
  readonly ownCut?: OwnCut
}

export interface Lesson {
  readonly id: string
  readonly title: string
  readonly sentence: string
  /** The demo case to teach on where nothing is open; null for a lesson that needs bones of its own. */
  readonly demo: string | null
  readonly steps: readonly LessonStep[]
}
