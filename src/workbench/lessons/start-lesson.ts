import { openDemo } from '../live/open-demo.ts'
import type { Workbench } from '../workbench.ts'
import type { Lesson } from './lesson.ts'

/** Plays a lesson on the knee that is open, or on its own demo case where none is. */
export async function startLesson(workbench: Workbench, lesson: Lesson): Promise<void> {
  const { store, host } = workbench
  const { femur, tibia } = store.getState().history.present.meshes
  if (!femur || !tibia) {
    const demos = await host.demos()
    const entry = demos.ok ? demos.value.find((demo) => demo.id === lesson.demo) : undefined
    await openDemo(workbench, lesson.demo, entry?.title ?? lesson.demo)
    const now = store.getState().history.present.meshes
    if (!now.femur || !now.tibia) return
  }
  store.getState().startLesson(lesson)
}
