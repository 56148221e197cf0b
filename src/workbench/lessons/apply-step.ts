import type { CaseDocument } from '../../casefile/document.ts'
import type { Lesson, LessonEdit } from '../../casefile/lesson.ts'
import { setPath } from '../../casefile/set-path.ts'
import type { Failure } from '../../failure.ts'

/** The case at a step: the one the lesson began with, changed by every step up to this one in turn. An edit that cannot be made is left out and told. */
export function documentAt(
  base: CaseDocument,
  lesson: Lesson,
  step: number,
): { document: CaseDocument; failures: Failure[] } {
  let document = base
  const failures: Failure[] = []
  for (const edit of lesson.steps.slice(0, step + 1).flatMap((s) => s.edits)) {
    const changed = applyEdit(document, edit)
    if (changed.ok) document = changed.value
    else failures.push(changed.failure)
  }
  return { document, failures }
}

function applyEdit(document: CaseDocument, { path, value }: LessonEdit) {
  if (path === 'cuts') {
    // Every cut back to what the recipe says.
    const cleared = { tibia: nulls(document.cuts.tibia), femur: nulls(document.cuts.femur) }
    return { ok: true, value: { ...document, cuts: cleared } } as const
  }
  return setPath(document, path, value)
}

const nulls = <T extends object>(part: T): T => Object.fromEntries(Object.keys(part).map((key) => [key, null])) as T
