import { beforeAll, expect, test } from 'vitest'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import type { PlanChoices } from '../../src/planning/terms.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let demo: Demo
beforeAll(() => {
  demo = demoInput({}, {}, 2)
}, 120_000)

const partial = (changes: Partial<PlanChoices> = {}): Plan =>
  expectOk(planCuts({ ...demo, choices: choicesWith({ procedure: 'medial-partial', ...changes }) }))

test('a partial’s gaps are its medial thicknesses; laterally nothing is taken and nothing put back', () => {
  const plan = partial()
  const total = (id: string) => plan.sites.find((site) => site.id === id)!.totalMm
  const exact = { absMm: 1e-12, because: 'the same sums' }
  expectNear(plan.gaps!.extensionMedialMm, total('tibia-medial') + total('femur-distal-medial'), exact)
  expectNear(plan.gaps!.flexionMedialMm, total('tibia-medial') + total('femur-posterior-medial'), exact)
  expect([plan.gaps!.extensionLateralMm, plan.gaps!.flexionLateralMm]).toEqual([0, 0])
  expectNear(plan.gaps!.slackMm.extensionMedial, 0, { absMm: 1e-8, because: 'kinematic puts back what it takes' })
})

test('leg length stays when the native surfaces come back, and grows by half of what one side over-replaces', () => {
  const same = partial()
  expectNear(same.consequences.legLengthChangeMm!, 0, { absMm: 1e-6, because: 'no difference at any site' })
  expect(same.after.legLengthMm).toBeGreaterThan(500)
  const depth = same.cuts.find((cut) => cut.id === 'tibia')!.depthMm!
  const cuts = choicesWith().cuts
  const shallow = partial({ cuts: { ...cuts, tibia: { ...cuts.tibia, depthMm: depth - 2 } } })
  expectNear(shallow.gaps!.slackMm.extensionMedial, -2, { absMm: 1e-6, because: 'two millimetres less taken' })
  // The middle of a bearing rises by half of its medial end; the turn of the limb adds little in a straight leg.
  expectNear(shallow.consequences.legLengthChangeMm!, 1, { absMm: 0.3, because: 'planar chain over the middles' })
})

test('what a partial has no number for is withheld with the right reason', () => {
  const plan = partial()
  const reason = plan.warnings.find((warning) => warning.spoils.includes('consequences.patellofemoral'))
  expect(reason?.message).toMatch(/no anterior cut/)
  expect(plan.consequences.notchMm).toBe(null)
  expect(plan.warnings.flatMap((warning) => warning.spoils)).not.toContain('gaps')
})
