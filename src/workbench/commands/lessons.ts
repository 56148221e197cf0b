import { Clapperboard, GraduationCap, LibraryBig } from 'lucide-react'
import { newLesson } from '../lessons/draft.ts'
import { shippedLessons } from '../lessons/shipped.ts'
import { startLesson } from '../lessons/start-lesson.ts'
import { type Command, needsPlan } from './command.ts'

export const lessons: readonly Command[] = [
  ...shippedLessons.map(
    (lesson): Command => ({
      id: `lesson.${lesson.id}`,
      label: `Lesson: ${lesson.title}`,
      group: 'Lessons',
      icon: GraduationCap,
      run: (workbench) => startLesson(workbench, lesson),
    }),
  ),
  {
    id: 'lesson.list',
    label: 'All lessons…',
    group: 'Lessons',
    icon: LibraryBig,
    run: ({ store }) => store.getState().showLessons(true),
  },
  {
    id: 'lesson.record',
    label: 'Record a lesson…',
    group: 'Lessons',
    icon: Clapperboard,
    enabled: needsPlan,
    run: ({ store }) => store.getState().startLesson(newLesson(store.getState().history.present.lessons), 'edit'),
  },
]
