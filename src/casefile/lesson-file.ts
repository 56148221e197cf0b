import { fail, ok, type Result } from '../failure.ts'
import type { Lesson } from './lesson.ts'
import { lessonSchema } from './lesson-schema.ts'
import { caution } from './program.ts'

/** File name ending of a lesson that travels without a case. */
export const lessonExtension = '.floorlesson'
const schemaId = 'floorline.lesson/1'
/** A lesson is words and numbers; anything larger is none. */
export const largestLessonBytes = 4 * 2 ** 20

/** A lesson as the text of a file of its own, with the caution at its head. */
export const lessonText = (lesson: Lesson): string =>
  `${JSON.stringify({ schema: schemaId, caution, lesson }, null, 2)}\n`

/** A lesson from the text of its file; anything else is a failure that names the field. */
export function parseLesson(text: string): Result<Lesson> {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    return fail('case/syntax', 'This is not a lesson: it is no valid JSON.', { place: 'line 1' })
  }
  const { schema, lesson } = (typeof json === 'object' && json !== null ? json : {}) as Readonly<
    Record<'schema' | 'lesson', unknown>
  >
  if (typeof schema === 'string' && schema.startsWith('floorline.lesson/') && schema !== schemaId)
    return fail('case/newer-version', `This lesson is of another version (${schema}).`, {
      hint: 'Open it with the newer program that saved it.',
      place: 'schema',
    })
  if (schema !== schemaId) return fail('case/syntax', 'This is not a lesson.', { place: 'schema' })
  const parsed = lessonSchema.safeParse(lesson)
  if (parsed.success) return ok(parsed.data)
  const issue = parsed.error.issues[0]
  const place = issue ? issue.path.join('.') : 'lesson'
  return fail('case/syntax', `The lesson cannot be used: ${issue?.message ?? 'unknown reason'}.`, { place })
}
