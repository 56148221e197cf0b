import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import type { Lesson } from '../../src/casefile/lesson.ts'
import { beforeOwnCut, documentAt, editsBetween, firstEdits } from '../../src/casefile/lesson-edits.ts'
import { lessonText, parseLesson } from '../../src/casefile/lesson-file.ts'
import { setPath } from '../../src/casefile/set-path.ts'
import { type PathRule, type StablePath, stablePaths } from '../../src/casefile/stable-paths.ts'
import { expectFailure, expectOk } from '../near.ts'

const ofTheKnee = ['side', 'frame']
const paths = (Object.keys(stablePaths) as StablePath[]).filter((path) => !ofTheKnee.includes(path))

/** Any change of the case that `--set` could make. */
const edit = fc.constantFrom(...paths).chain((path) => {
  const rule: PathRule = stablePaths[path]
  const values: fc.Arbitrary<number | string | boolean> =
    rule.kind === 'switch'
      ? fc.boolean()
      : rule.kind === 'choice'
        ? fc.constantFrom(...rule.choices)
        : rule.integer
          ? fc.integer({ min: rule.low, max: Math.min(rule.high, rule.low + 1000) })
          : fc.double({ min: rule.low, max: rule.high, noNaN: true })
  return fc.record({ path: fc.constant(path), value: values })
})

const changed = (base: CaseDocument, edits: readonly { path: string; value: number | string | boolean }[]) =>
  edits.reduce((at, { path, value }) => {
    const next = setPath(at, path, value)
    return next.ok ? next.value : at
  }, base)

const step = (edits: Lesson['steps'][number]['edits']) => ({ title: '', words: '', stage: 'cuts' as const, edits })

describe('a recorded lesson', () => {
  it('gives back, step by step, every case that was recorded', () => {
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 8 }), fc.array(edit, { maxLength: 8 }), (one, two) => {
        const first = changed(newCase, one)
        const second = changed(first, two)
        const lesson = { steps: [step(editsBetween(newCase, first)), step(editsBetween(first, second))] }
        expect(documentAt(newCase, lesson, 0)).toEqual({ document: first, failures: [] })
        expect(documentAt(newCase, lesson, 1)).toEqual({ document: second, failures: [] })
      }),
    )
  })

  it('begins alike on any knee: recipe and pose are said, cuts are given back, wear and sizes stay the knee’s own', () => {
    const worn = changed(newCase, [{ path: 'wear.medialMm', value: 2 }])
    const other = changed(worn, [
      { path: 'recipe', value: 'mechanical' },
      { path: 'cuts.femur.valgusDeg', value: 4 },
      { path: 'stance.pose', value: 'one-leg' },
    ])
    const recorded = { steps: [step(firstEdits(changed(newCase, [{ path: 'cuts.tibia.varusDeg', value: 3 }])))] }
    const { document, failures } = documentAt(other, recorded, 0)
    expect(failures).toEqual([])
    expect(document.cuts).toEqual({ ...newCase.cuts, tibia: { ...newCase.cuts.tibia, varusDeg: 3 } })
    expect([document.recipe, document.stance.pose, document.wear.medialMm]).toEqual(['kinematic', 'feet-together', 2])
  })

  it('sets the trainee’s numbers to where they begin and leaves the rest as the step has it', () => {
    const asked = { ...step([]), ownCut: { ask: '', fields: [{ path: 'cuts.tibia.varusDeg', from: 0 }] } }
    const base = changed(newCase, [{ path: 'recipe', value: 'kinematic' }])
    expect(beforeOwnCut(base, asked).cuts.tibia.varusDeg).toBe(0)
    expect(beforeOwnCut(base, step([]))).toBe(base)
  })
})

describe('a lesson in a file of its own', () => {
  const lesson: Lesson = {
    id: 'own-1',
    title: 'One',
    sentence: '',
    demo: null,
    steps: [step([{ path: 'recipe', value: 'anatomic' }])],
  }

  it('comes back as it was written, with the caution at its head', () => {
    expect(expectOk(parseLesson(lessonText(lesson)))).toEqual(lesson)
    expect(lessonText(lesson).slice(0, 200)).toContain('not a medical device')
  })

  it('is refused, never thrown over, for anything else', () => {
    for (const text of ['', '3', '[]', '{"schema":"other"}', 'null', '{"schema":"floorline.lesson/1"}'])
      expectFailure(parseLesson(text), 'case/syntax')
    expectFailure(parseLesson('{"schema":"floorline.lesson/2"}'), 'case/newer-version')
    fc.assert(fc.property(fc.json(), (text) => !parseLesson(text).ok))
  })
})
