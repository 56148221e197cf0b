import { expect, test } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { documentAt } from '../../src/casefile/lesson-edits.ts'
import type { Findings } from '../../src/findings.ts'
import { newLesson, recordedStep, withStep } from '../../src/workbench/lessons/draft.ts'
import { fillWords, rightAnswer } from '../../src/workbench/lessons/fill-words.ts'
import { shippedLessons } from '../../src/workbench/lessons/shipped.ts'
import { formOf, stepOf } from '../../src/workbench/lessons/step-text.ts'
import { caseInHand } from '../../src/workbench/store/lesson-slice.ts'
import { createWorkbenchStore } from '../../src/workbench/store/workbench-store.ts'

test('every edit of every shipped lesson can be made', () => {
  for (const lesson of shippedLessons) {
    const { failures } = documentAt(newCase, lesson, lesson.steps.length - 1)
    expect(failures, lesson.id).toEqual([])
  }
})

test('a step is reached the same way from anywhere: edits are made to the case the lesson began with', () => {
  const lesson = shippedLessons.find(({ id }) => id === 'tilted-stands-level')
  const direct = documentAt(newCase, lesson!, 3).document
  documentAt(newCase, lesson!, 5)
  expect(documentAt(newCase, lesson!, 3).document).toEqual(direct)
  expect(direct.recipe).toBe('mechanical')
})

const findings = {
  warnings: [{ code: 'x', message: 'The hip is missing.', spoils: ['after.hkaDeg'] }],
  after: { hkaDeg: 178.44, mptaDeg: 87 },
  sites: [{ id: 'tibia-medial', pieceMm: 8.84 }],
  loading: [
    { pose: 'natural', direction: 'vertical', shearCoronal: 0.0312, medialShare: 0.61 },
    { pose: 'natural', direction: 'tibial-axis', shearCoronal: 0.05 },
  ],
  volumes: { tibiaRemovedMm3: 24_149 },
} as unknown as Findings

test('words take their numbers from the findings, by id, pose and direction, in the units of the window', () => {
  expect(fillWords('{{after.mptaDeg}}', findings)).toBe('87.0°')
  expect(fillWords('{{sites.tibia-medial.pieceMm}} thick', findings)).toBe('8.8 mm thick')
  expect(fillWords('{{loading.natural.vertical.shearCoronal}}', findings)).toBe('0.031')
  expect(fillWords('{{loading.natural.vertical.medialShare}}', findings)).toBe('61 %')
  expect(fillWords('{{volumes.tibiaRemovedMm3}}', findings)).toBe('24.1 cm³')
})

test('a number that is spoiled or not there says so instead of passing for sound', () => {
  expect(fillWords('{{after.hkaDeg}}', findings)).toBe('178.4° (see warnings)')
  expect(fillWords('{{angles.hkaDeg}}', findings)).toBe('(not known)')
  expect(fillWords('{{after.mptaDeg}}', null)).toBe('(not known)')
})

test('the right answer is the one that the findings of this knee make right', () => {
  const predict = {
    question: '',
    answers: ['high', 'middle', 'low'],
    right: { path: 'after.mptaDeg', above: [88, 85] },
  }
  const at = (mptaDeg: number) => rightAnswer(predict, { ...findings, after: { mptaDeg } } as unknown as Findings)
  expect([at(89), at(87), at(85), at(80)]).toEqual([0, 1, 2, 2])
  expect(rightAnswer(predict, null)).toBe(null)
})

test('what a step’s form says is the step again, and what is wrong in it is said', () => {
  for (const step of shippedLessons.flatMap(({ steps }) => steps)) expect(stepOf(step, formOf(step))).toEqual(step)
  const step = shippedLessons[1]!.steps[2]!
  const form = formOf(step)
  expect(stepOf(step, { ...form, answers: 'one' })).toMatch(/two answers/)
  expect(stepOf(step, { ...form, above: 'deep' })).toMatch(/2 thresholds for 3 answers/)
  expect(stepOf(step, { ...form, ask: 'Cut.', fields: 'saw.kerfMm = 1' })).toMatch(/cannot be asked for/)
  expect(stepOf(step, { ...form, edits: 'recipe' })).toMatch(/one line/)
})

test('a step that only turns the view is framed as the steps before it on its stage, however it is reached', () => {
  const state = createWorkbenchStore()
  const request = (lesson: string, step: number) => {
    state.getState().startLesson(shippedLessons.find(({ id }) => id === lesson)!)
    state.getState().goToStep(step)
    return state.getState().cameraRequest
  }
  expect(request('thickness-in-out', 1)).toEqual({ kind: 'fit', what: 'knee', preset: 'lateral' })
  expect(request('limit-costs', 3)).toEqual({ kind: 'fit', what: 'knee', preset: 'anterior' })
  expect(request('edge-loading', 2)).toEqual({ kind: 'fit', what: 'all', preset: 'anterior' })
})

test('playing leaves no trace in the case; editing leaves one step, the lesson', () => {
  const store = createWorkbenchStore()
  const state = () => store.getState()
  state().edit('tibia varus', (document) => ({ ...document, name: 'Own' }))
  const before = state().history
  state().startLesson(shippedLessons[3]!)
  state().goToStep(3)
  state().edit('tibia slope', (document) => ({ ...document, notes: 'pulled in the lesson' }))
  expect(caseInHand(state())).toBe(before.present)
  state().endLesson()
  expect(state().history).toBe(before)

  state().startLesson(newLesson([]), 'edit')
  state().edit('recipe', (document) => ({ ...document, recipe: 'mechanical' }))
  const lesson = state().lesson!
  state().changeLesson(withStep(lesson, 0, recordedStep(state(), -1)), 0)
  expect(caseInHand(state()).lessons).toHaveLength(1)
  state().endLesson()
  expect(state().history.past.map(({ label }) => label)).toEqual(['tibia varus', 'lesson Lesson 1'])
  expect(state().history.present.recipe).toBe('kinematic')
  expect(state().history.present.lessons[0]!.steps[0]!.edits).toContainEqual({ path: 'recipe', value: 'mechanical' })
})
