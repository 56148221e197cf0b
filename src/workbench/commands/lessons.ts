import { GraduationCap } from 'lucide-react'
import { shippedLessons } from '../lessons/shipped.ts'
import { startLesson } from '../lessons/start-lesson.ts'
import type { Command } from './command.ts'

export const lessons: readonly Command[] = shippedLessons.map((lesson) => ({
  id: `lesson.${lesson.id}`,
  label: `Lesson: ${lesson.title}`,
  group: 'Lessons',
  icon: GraduationCap,
  run: (workbench) => startLesson(workbench, lesson),
}))
