import type { Lesson } from '../../casefile/lesson.ts'
import { fail } from '../../failure.ts'
import { openDemo } from '../live/open-demo.ts'
import { text } from '../text/messages.ts'
import type { Workbench } from '../workbench.ts'

/** Plays a lesson on the knee that is open, or on its own demo case where none is. */
export async function startLesson(workbench: Workbench, lesson: Lesson): Promise<void> {
  const { store, host } = workbench
  const { femur, tibia } = store.getState().history.present.meshes
  if (!femur || !tibia) {
    if (lesson.demo === null) {
      store.getState().notify(fail('case/mesh-missing', text.lessonNeedsBones).failure)
      return
    }
    const demos = await host.demos()
    const entry = demos.ok ? demos.value.find((demo) => demo.id === lesson.demo) : undefined
    await openDemo(workbench, lesson.demo, entry?.title ?? lesson.demo)
    const now = store.getState().history.present.meshes
    if (!now.femur || !now.tibia) return
  }
  store.getState().startLesson(lesson)
}
