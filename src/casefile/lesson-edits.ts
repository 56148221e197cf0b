import type { Failure } from '../failure.ts'
import { noOverrides } from '../planning/terms.ts'
import { type CaseDocument, newCase } from './document.ts'
import type { Lesson, LessonEdit } from './lesson.ts'
import { getPath, setPath } from './set-path.ts'
import { stablePaths } from './stable-paths.ts'

/** The case at a step: the one the lesson began with, changed by every step up to this one in turn. An edit that cannot be made is left out and told. */
export function documentAt(
  base: CaseDocument,
  { steps }: Pick<Lesson, 'steps'>,
  step: number,
): { document: CaseDocument; failures: Failure[] } {
  let document = base
  const failures: Failure[] = []
  for (const edit of steps.slice(0, step + 1).flatMap((s) => s.edits)) {
    const changed = applyEdit(document, edit)
    if (changed.ok) document = changed.value
    else failures.push(changed.failure)
  }
  return { document, failures }
}

/** The case as the trainee finds it before the own cut: the step's case with its fields at where they begin. */
export function beforeOwnCut(document: CaseDocument, step: Lesson['steps'][number]): CaseDocument {
  return (step.ownCut?.fields ?? []).reduce((at, { path, from }) => {
    const changed = setPath(at, path, from)
    return changed.ok ? changed.value : at
  }, document)
}

/**
 * What a recorded step changes: every stable path in which the case now differs from the case at the step before. Which
 * knee it is (side, frame of the files) is no part of a lesson.
 */
export function editsBetween(before: CaseDocument, now: CaseDocument): readonly LessonEdit[] {
  return paths.flatMap((path) => {
    const value = valueAt(now, path)
    return value === valueAt(before, path) ? [] : [{ path, value }]
  })
}

/**
 * What the first step of a recorded lesson changes, so that it begins the same way on any knee: cuts back to the recipe,
 * then recipe, pose and everything else in which the case differs from a new one, without what belongs to this knee alone
 * (wear, cartilage, sizes, definitions of its landmarks).
 */
export function firstEdits(now: CaseDocument): readonly LessonEdit[] {
  const always: readonly string[] = ['recipe', 'stance.pose']
  const edits = paths.flatMap((path) => {
    if (ofThisKnee.test(path)) return []
    const value = valueAt(now, path)
    return always.includes(path) || value !== valueAt(newCase, path) ? [{ path, value }] : []
  })
  return [{ path: 'cuts', value: null }, ...edits]
}

const paths = Object.keys(stablePaths).filter((path) => path !== 'side' && path !== 'frame')
const ofThisKnee = /^(wear|cartilage|implants|references|measured|seed)\b/

function valueAt(document: CaseDocument, path: string): LessonEdit['value'] {
  const value = getPath(document, path)
  return value.ok ? value.value : null
}

function applyEdit(document: CaseDocument, { path, value }: LessonEdit) {
  if (path === 'cuts') {
    // Every cut back to what the recipe says.
    return { ok: true, value: { ...document, cuts: noOverrides } } as const
  }
  return setPath(document, path, value)
}
