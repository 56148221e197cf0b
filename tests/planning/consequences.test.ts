import { beforeAll, describe, expect, test } from 'vitest'
import { signedDistance } from '../../src/geometry/plane.ts'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan, Site } from '../../src/planning/planned.ts'
import { type PlanChoices, recipeNames, type SiteId } from '../../src/planning/terms.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let varus: Demo
beforeAll(() => {
  varus = demoInput({ ldfaDeg: 89, mptaDeg: 82.5 }, {}, 2)
}, 120_000)

const planned = (changes: Partial<PlanChoices> = {}): Plan =>
  expectOk(planCuts({ ...varus, choices: choicesWith(changes) }))
const site = (plan: Plan, id: SiteId): Site => plan.sites.find((s) => s.id === id)!
const exact = { absMm: 1e-9, because: 'sums of the same numbers' }

describe('geometric gaps', () => {
  test('are the sums of both totals, and slack what the components leave of them', () => {
    for (const recipe of recipeNames) {
      const plan = planned({ recipe })
      const gaps = plan.gaps!
      expect(gaps.kind).toBe('geometric')
      const sum = (a: SiteId, b: SiteId) => site(plan, a).totalMm + site(plan, b).totalMm
      expectNear(gaps.extensionMedialMm, sum('tibia-medial', 'femur-distal-medial'), exact)
      expectNear(gaps.extensionLateralMm, sum('tibia-lateral', 'femur-distal-lateral'), exact)
      expectNear(gaps.flexionMedialMm, sum('tibia-medial', 'femur-posterior-medial'), exact)
      expectNear(gaps.flexionLateralMm, sum('tibia-lateral', 'femur-posterior-lateral'), exact)
      const parts = site(plan, 'tibia-medial').componentMm + site(plan, 'femur-distal-medial').componentMm
      expectNear(gaps.slackMm.extensionMedial, gaps.extensionMedialMm - parts, exact)
    }
  })

  test('of the kinematic recipe are filled exactly by the components', () => {
    const { slackMm } = planned().gaps!
    for (const mm of Object.values(slackMm)) expectNear(mm, 0, { absMm: 1e-8, because: 'no difference at any site' })
  })
})

describe('the restricted recipe’s corrections', () => {
  const options = { ...choicesWith().recipeOptions }

  test('lead step by step from the kinematic sites to the restricted ones', () => {
    for (const restrictedAnswer of ['rule-of-thumb', 'smallest'] as const) {
      const kinematic = planned()
      const restricted = planned({ recipe: 'restricted', recipeOptions: { ...options, restrictedAnswer } })
      expect(restricted.corrections!.length).toBeGreaterThan(0)
      for (const { id, totalMm } of restricted.sites) {
        const moved = restricted.corrections!.reduce((sum, c) => sum + c.siteDeltaMm[id]!, 0)
        const start = pivoted(kinematic, id)
        expectNear(start + moved, totalMm, { absMm: 1e-8, because: 'the steps add up' })
      }
      const gapChange = restricted.corrections!.reduce((sum, c) => sum + c.gapDeltaMm!['extensionMedialMm']!, 0)
      expectNear(kinematic.gaps!.extensionMedialMm + gapChange, restricted.gaps!.extensionMedialMm, {
        absMm: 1e-8,
        because: 'the steps add up',
      })
    }
  })

  test('stand side by side: the smallest never longer than the rule of thumb', () => {
    const { restriction } = planned({ recipe: 'restricted' })
    expect(restriction!.smallest.normDeg).toBeLessThanOrEqual(restriction!.ruleOfThumb.normDeg + 1e-12)
    expect(restriction!.smallest.normDeg).toBeLessThan(restriction!.ruleOfThumb.normDeg - 0.1)
    for (const answer of [restriction!.smallest, restriction!.ruleOfThumb]) {
      expect(Math.abs(answer.hkaDeg - 180)).toBeLessThanOrEqual(3 + 1e-9)
      for (const step of answer.corrections) expect(Math.abs(step.deg)).toBeGreaterThan(0)
    }
  })

  test('are none for the other recipes', () => {
    for (const recipe of ['mechanical', 'anatomic', 'kinematic'] as const) {
      const plan = planned({ recipe })
      expect(plan.corrections).toEqual([])
      expect(plan.restriction).toBeNull()
    }
  })

  /** The kinematic total; both sites have difference 0, so the pivot does not matter. */
  const pivoted = (plan: Plan, id: SiteId) => site(plan, id).totalMm
})

describe('before and after', () => {
  test('the kinematic plan changes no surface and little leg length', () => {
    const { consequences, after } = planned()
    for (const mm of [
      after.jointLineShiftMedialMm,
      after.jointLineShiftLateralMm,
      consequences.tibialShiftMedialMm,
      consequences.posteriorOffsetChangeMedialMm,
      consequences.posteriorOffsetChangeLateralMm,
    ])
      expectNear(mm!, 0, { absMm: 1e-8, because: 'no difference at any site' })
    // The native limb was measured with its own joint line convergence; the planned one has none.
    expect(Math.abs(consequences.legLengthChangeMm!)).toBeLessThan(1.5)
  })

  test('a mechanical plan raises the medial plateau of a varus knee and lengthens the leg', () => {
    const { consequences, after } = planned({ recipe: 'mechanical' })
    expect(consequences.tibialShiftMedialMm!).toBeGreaterThan(3)
    expect(consequences.legLengthChangeMm!).toBeGreaterThan(1)
    expectNear(consequences.jointLineObliquityDeg, 180, { absDeg: 1e-9, because: '90 + 90' })
    expectNear(after.hkaDeg!, 180, { absDeg: 1e-9, because: '90 and 90' })
  })

  test('compares the groove of the component with the native one', () => {
    const { patellofemoral } = planned().consequences
    expect(patellofemoral).not.toBeNull()
    expect(Math.abs(patellofemoral!.grooveNativeDeg)).toBeLessThan(15)
    expectNear(patellofemoral!.grooveDeg, -(90 - planned().after.ldfaDeg), {
      absDeg: 0.05,
      because: 'the groove runs square to the distal cut, seen from the front',
    })
    expect(Math.abs(patellofemoral!.grooveForwardMm)).toBeLessThan(6)
  })
})

describe('referencing', () => {
  test('posterior keeps both posterior sites, anterior keeps the anterior cut on the cortex', () => {
    const options = choicesWith().recipeOptions
    const implants = { ...choicesWith().implants, femurSize: 5 }
    const posterior = planned({ implants })
    const anterior = planned({ implants, recipeOptions: { ...options, femoralReferencing: 'anterior' } })
    expectNear(site(posterior, 'femur-posterior-medial').differenceMm, 0, { absMm: 1e-8, because: 'held' })
    expect(Math.abs(posterior.consequences.notchMm!)).toBeGreaterThan(0.5)
    expectNear(anterior.consequences.notchMm!, 0, { absMm: 1e-9, because: 'held' })
    const moved = posterior.consequences.notchMm!
    expectNear(site(anterior, 'femur-posterior-medial').differenceMm, moved, {
      absMm: 1e-9,
      because: 'the box moves as one',
    })
    expectNear(site(anterior, 'femur-posterior-lateral').differenceMm, moved, {
      absMm: 1e-9,
      because: 'the box moves as one',
    })
  })
})

describe('what can be set beside the recipe', () => {
  test('tibial depth counts from the lateral, the medial or the mean plateau point', () => {
    const { tibia } = varus
    for (const tibialDepthFrom of ['lateral', 'medial', 'mean'] as const) {
      const plan = planned({
        recipe: 'mechanical',
        recipeOptions: { ...choicesWith().recipeOptions, tibialDepthFrom },
        cuts: { ...choicesWith().cuts, tibia: { ...choicesWith().cuts.tibia, depthMm: 9 } },
      })
      const cut = plan.cuts.find((c) => c.id === 'tibia')!
      const depth = (p: typeof tibia.medial.point) => -signedDistance({ point: cut.point!, normal: cut.normal! }, p)
      const [m, l] = [depth(tibia.medial.point), depth(tibia.lateral.point)]
      expectNear({ lateral: l, medial: m, mean: (l + m) / 2 }[tibialDepthFrom], 9, exact)
    }
  })

  test('posterior depth and shifts move the component and nothing else', () => {
    const base = planned()
    const cuts = choicesWith().cuts
    const moved = planned({
      cuts: {
        ...cuts,
        tibia: { ...cuts.tibia, shiftLateralMm: 2, shiftAnteriorMm: -1 },
        femur: { ...cuts.femur, shiftLateralMm: 1.5, posteriorMm: 9 },
      },
    })
    expectNear(site(moved, 'femur-posterior-medial').distanceMm, 9, exact)
    expectNear(site(moved, 'femur-distal-medial').distanceMm, site(base, 'femur-distal-medial').distanceMm, exact)
    const by = (axis: 'medial' | 'posterior') =>
      moved.tray.centre.reduce((sum, v, i) => sum + (v - base.tray.centre[i]!) * base.tray[axis][i]!, 0)
    expectNear(by('medial'), -2, exact)
    expectNear(by('posterior'), 1, exact)
  })
})
