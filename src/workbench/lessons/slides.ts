import type { Lesson, LessonStep } from '../../casefile/lesson.ts'
import { drawingInFull } from '../../engine/light-drawing.ts'
import type { Slide } from '../../report/lesson-html.ts'
import type { WorkbenchState } from '../store/state.ts'
import type { Workbench } from '../workbench.ts'
import { fillWords, rightAnswer } from './fill-words.ts'

/** A step as it was drawn, and its picture as a PNG. */
export interface DrawnSlide {
  readonly slide: Slide
  readonly picture: Blob | null
}

/** Longer than the view takes to turn and lift. */
const settleMs = 400
const longestWaitMs = 90_000

/**
 * Plays a lesson through by itself on the knee that is open and keeps what each step shows; the case comes back at the
 * end. null when it was stopped or the lesson was ended.
 */
export async function drawSlides({ store }: Workbench, lesson: Lesson): Promise<readonly DrawnSlide[] | null> {
  let stopped = false
  const progress = (step: number) =>
    store.setState({ exporting: { step, of: lesson.steps.length, cancel: () => (stopped = true) } })
  progress(0)
  store.getState().startLesson(lesson)
  const slides: DrawnSlide[] = []
  try {
    for (const [k, step] of lesson.steps.entries()) {
      progress(k)
      store.getState().goToStep(k)
      await settled(store, () => stopped)
      if (stopped || store.getState().lesson !== lesson) return null
      slides.push(await drawnSlide(store.getState(), step))
    }
    return slides
  } finally {
    store.getState().endLesson()
    store.setState({ exporting: null })
  }
}

async function drawnSlide(state: WorkbenchState, step: LessonStep): Promise<DrawnSlide> {
  const { findings, drawing } = state
  const picture = step.stage === 'report' ? null : ((await state.drawPicture?.(pictureOptions)) ?? null)
  const right = step.predict ? rightAnswer(step.predict, findings) : null
  const slide: Slide = {
    title: step.title,
    words: fillWords(step.words, findings),
    notes: step.notes ?? '',
    question: step.predict
      ? {
          words: step.predict.question,
          answers: step.predict.answers,
          right: right === null ? '' : (step.predict.answers[right] ?? ''),
        }
      : null,
    ask: step.ownCut?.ask ?? '',
    picture: null,
    drawing: step.stage === 'stance' || step.stage === 'loading' ? drawing && drawingInFull(drawing) : null,
  }
  return { slide, picture }
}

const pictureOptions = { enlargement: 2, ground: 'transparent', labels: true } as const

/** Waits until the numbers, the meshes and the camera of the step are there, or cannot be had. */
async function settled(store: Workbench['store'], stopped: () => boolean): Promise<void> {
  const end = performance.now() + longestWaitMs
  const waits = ({ updating, partsUpdating, findings, depth, failure }: WorkbenchState) =>
    updating || partsUpdating || (failure === null && (findings === null || depth !== 'full'))
  do await pause(100)
  while (waits(store.getState()) && performance.now() < end && !stopped())
  await pause(settleMs)
}

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))
