import { beforeAll, expect, test } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { parseCase } from '../../src/casefile/schema.ts'
import type { TotalFamily } from '../../src/implants/family.ts'
import { genericTotal } from '../../src/implants/generic-total.ts'
import { planCuts } from '../../src/planning/plan.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let demo: Demo
beforeAll(() => {
  demo = demoInput({}, {}, 2)
}, 120_000)

/** The built-in family with one or more dimensions changed in every size. */
const edited = (changes: Partial<TotalFamily['femoral'][number]>): TotalFamily => ({
  ...genericTotal,
  id: 'own',
  name: 'Edited',
  femoral: genericTotal.femoral.map((s) => ({ ...s, ...changes })),
})
const planWith = (own: TotalFamily) =>
  planCuts({ ...demo, choices: choicesWith({ implants: { ...newCase.implants, family: 'own', own } }) })

test('an edited table is planned with, its thickness measured on the new solids', () => {
  const plan = expectOk(planWith(edited({ posteriorMm: 10.5 })))
  expect(plan.implants.family).toBe('own')
  const posterior = plan.sites.find((s) => s.id === 'femur-posterior-medial')!
  expectNear(posterior.componentMm, 10.5, { absMm: 1e-9, because: 'measured on the edited solid' })
  for (const site of plan.sites) expectNear(site.differenceMm, 0, { absMm: 1e-8, because: 'the kinematic recipe' })
})

test('a table that cannot be built is refused with size and dimension', () => {
  for (const changes of [
    { distalMm: -1 },
    { distalRadiusMm: 12 },
    { posteriorChamferMm: 30, anteriorChamferMm: 30 },
    { notchWidthMm: 60 },
    { crestSpacingMm: 200 },
    { overallApMm: Number.NaN },
  ]) {
    const result = planWith(edited(changes))
    expectFailure(result, 'plan/impossible-size')
    if (!result.ok) expect(result.failure.message).toMatch(/femoral size 1 cannot be built/)
  }
  expectFailure(planWith({ ...edited({}), insertsMm: [9, 7] }), 'plan/impossible-size')
  expectFailure(planWith({ ...edited({}), tibial: [] }), 'plan/impossible-size')
})

test('a case keeps its own table through saving and loading', () => {
  const document = { ...newCase, implants: { ...newCase.implants, family: 'own', own: edited({ posteriorMm: 10 }) } }
  expect(expectOk(parseCase(JSON.parse(JSON.stringify(document))))).toEqual(document)
  const broken = { ...document, implants: { ...document.implants, own: { ...document.implants.own, femoral: [{}] } } }
  expect(parseCase(broken).ok).toBe(false)
})
