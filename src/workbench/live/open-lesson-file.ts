import { largestLessonBytes, parseLesson } from '../../casefile/lesson-file.ts'
import { fail } from '../../failure.ts'
import { newLesson, withLesson } from '../lessons/draft.ts'
import type { Workbench } from '../workbench.ts'
import { placed } from './read-mesh-file.ts'

/** Puts a lesson from a file of its own into the case, under a new id, and shows the list of lessons. */
export async function openLessonFile({ store }: Workbench, file: File): Promise<void> {
  const lesson =
    file.size > largestLessonBytes
      ? fail('file/too-large', 'This is too large for a lesson.')
      : parseLesson(await file.text())
  if (!lesson.ok) {
    store.getState().notify(placed(lesson.failure, file.name))
    return
  }
  store.getState().edit(`open lesson ${lesson.value.title}`, (document) => {
    const { id } = newLesson(document.lessons)
    return withLesson(document, { ...lesson.value, id })
  })
  store.getState().showLessons(true)
}
