import { beforeAll, expect, test } from 'vitest'
import { signedDistance } from '../../src/geometry/plane.ts'
import { addScaled, dot, scale, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { tibialNormal } from '../../src/planning/cut-normals.ts'
import { type DrivenCut, overridesFromAxis, overridesFromPlane } from '../../src/planning/drive.ts'
import { legAxes } from '../../src/planning/leg-axes.ts'
import { planCuts } from '../../src/planning/plan.ts'
import type { CutOverrides } from '../../src/planning/terms.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
const demos: Demo[] = []
beforeAll(() => {
  demos.push(demoInput({}, {}, 2), demoInput({ side: 'left' }, {}, 2))
}, 120_000)

const withCuts = (demo: Demo, cuts: CutOverrides) => expectOk(planCuts({ ...demo, choices: choicesWith({ cuts }) }))
const cutOf = (plan: ReturnType<typeof withCuts>, id: string) => plan.cuts.find((c) => c.id === id)!

test('a fitted plane, whichever side is up, becomes the tibial cut itself', () => {
  for (const demo of demos) {
    const axes = legAxes(demo.tibia.frame, demo.tibia.side)
    const normal = tibialNormal(axes, 4, 6)
    const point = addScaled(demo.tibia.lateral.point, normal, 9)
    for (const n of [normal, scale(normal, -1)]) {
      const plan = withCuts(demo, expectOk(overridesFromPlane(demo, 'tibia', { point, normal: n })))
      const cut = cutOf(plan, 'tibia')
      expectNear(cut.varusDeg!, 4, { absDeg: 1e-9, because: 'the same plane' })
      expectNear(cut.slopeDeg!, 6, { absDeg: 1e-9, because: 'the same plane' })
      expectNear(signedDistance({ point: cut.point!, normal: cut.normal! }, point), 0, {
        absMm: 1e-9,
        because: 'the same plane',
      })
    }
  }
})

test('a plane of another plan drives distal and posterior femoral cuts back onto itself', () => {
  for (const demo of demos) {
    const other = expectOk(planCuts({ ...demo, choices: choicesWith({ recipe: 'mechanical' }) }))
    let cuts = demo.choices.cuts
    for (const id of ['femur-distal', 'femur-posterior'] as const) {
      const { point, normal } = cutOf(other, id)
      const driven = { ...demo, choices: choicesWith({ cuts }) }
      cuts = expectOk(overridesFromPlane(driven, id, { point: point!, normal: normal! }))
    }
    const plan = withCuts(demo, cuts)
    for (const id of ['femur-distal', 'femur-posterior'] as const) {
      const [a, b] = [cutOf(plan, id), cutOf(other, id)]
      for (const k of [0, 1, 2] as const)
        expectNear(a.normal![k], b.normal![k], { abs: 1e-9, because: 'the same plane' })
      expectNear(signedDistance({ point: a.point!, normal: a.normal! }, b.point!), 0, {
        absMm: 1e-8,
        because: 'the same plane',
      })
    }
  }
})

test('an axis stands tibial and distal cuts square to itself and turns the component along itself', () => {
  for (const demo of demos) {
    const shaft = demo.tibia.proximalShaft.direction
    const square = withCuts(demo, expectOk(overridesFromAxis(demo, 'tibia', shaft)))
    const n = cutOf(square, 'tibia').normal!
    for (const k of [0, 1, 2] as const) expectNear(n[k], -shaft[k], { abs: 1e-9, because: 'square to the axis' })
    const { epicondyleMedial, epicondyleLateral } = demo.femur.landmarks
    const line = [0, 1, 2].map((k) => epicondyleLateral!.mm[k]! - epicondyleMedial!.mm[k]!) as unknown as Vec3
    const turned = withCuts(demo, expectOk(overridesFromAxis(demo, 'femur-posterior', unit(line))))
    expectNear(cutOf(turned, 'femur-posterior').externalRotationDeg!, demo.truth.angles.posteriorCondylarDeg, {
      absDeg: 1e-6,
      because: 'the generator measures the same angle on its own points',
    })
  }
})

test('a plane or axis that points elsewhere is refused', () => {
  const demo = demos[0]!
  const axes = legAxes(demo.tibia.frame, demo.tibia.side)
  const sideways = { point: demo.tibia.lateral.point, normal: axes.lateral }
  expectFailure(overridesFromPlane(demo, 'tibia', sideways), 'case/out-of-range')
  for (const cut of ['tibia', 'femur-distal'] as const satisfies readonly DrivenCut[])
    expectFailure(overridesFromAxis(demo, cut, axes.lateral), 'case/out-of-range')
  expectFailure(overridesFromAxis(demo, 'femur-posterior', axes.anterior), 'case/out-of-range')
})

const onto = (demo: Demo, cut: DrivenCut, procedure: 'total' | 'medial-partial') => {
  const choices = choicesWith({ procedure })
  const base = expectOk(planCuts({ ...demo, choices }))
  const { point, normal } = cutOf(base, cut)
  return { input: { ...demo, choices }, base, point: point!, normal: normal! }
}

test('a plane near any cut becomes that cut, either side up: anterior and both chamfers, and a partial’s vertical one', () => {
  for (const demo of demos) {
    for (const [procedure, cut] of [
      ['total', 'femur-anterior'],
      ['total', 'femur-chamfer-posterior'],
      ['total', 'femur-chamfer-anterior'],
      ['medial-partial', 'femur-chamfer-posterior'],
    ] as const) {
      const { input, base, point, normal } = onto(demo, cut, procedure)
      const axes = legAxes(demo.femur.frame, demo.femur.side)
      const leaning = unit(addScaled(addScaled(normal, axes.lateral, 0.05), axes.proximal, 0.06))
      const through = addScaled(point, normal, 1.3)
      for (const up of [leaning, scale(leaning, -1)]) {
        const cuts = expectOk(overridesFromPlane(input, cut, { point: through, normal: up }))
        const plan = expectOk(planCuts({ ...input, choices: { ...input.choices, cuts } }))
        const now = cutOf(plan, cut)
        for (const k of [0, 1, 2] as const)
          expectNear(now.normal![k], leaning[k], { abs: 1e-9, because: 'the same plane' })
        expectNear(signedDistance({ point: now.point!, normal: now.normal! }, through), 0, {
          absMm: 1e-9,
          because: 'the same plane',
        })
        expect(plan.femoralPlace).toEqual(base.femoralPlace)
      }
    }
    const { input, point, normal } = onto(demo, 'tibia-vertical', 'medial-partial')
    const tibial = legAxes(demo.tibia.frame, demo.tibia.side)
    const turned = unit(addScaled(normal, tibial.anterior, 0.08))
    const through = addScaled(point, normal, 1.5)
    for (const up of [turned, scale(turned, -1)]) {
      const cuts = expectOk(overridesFromPlane(input, 'tibia-vertical', { point: through, normal: up }))
      const now = cutOf(expectOk(planCuts({ ...input, choices: { ...input.choices, cuts } })), 'tibia-vertical')
      for (const k of [0, 1, 2] as const)
        expectNear(now.normal![k], turned[k], { abs: 1e-9, because: 'an upright plane is taken whole' })
      expectNear(signedDistance({ point: now.point!, normal: now.normal! }, through), 0, {
        absMm: 1e-9,
        because: 'an upright plane is taken whole',
      })
    }
  }
})

test('an axis turns any cut: along it or square to it, whichever is nearer, at the depth it had', () => {
  for (const demo of demos) {
    const axes = legAxes(demo.femur.frame, demo.femur.side)
    const shaftward = unit(addScaled(axes.proximal, axes.anterior, 0.12))
    for (const cut of ['femur-anterior', 'femur-chamfer-anterior', 'femur-chamfer-posterior'] as const) {
      const { input, normal } = onto(demo, cut, 'total')
      const across = unit(addScaled(axes.lateral, axes.proximal, 0.1))
      for (const axis of [across, ...(cut === 'femur-anterior' ? [shaftward] : [])]) {
        const cuts = expectOk(overridesFromAxis(input, cut, axis))
        const now = cutOf(expectOk(planCuts({ ...input, choices: { ...input.choices, cuts } })), cut)
        expectNear(dot(now.normal!, axis), 0, { abs: 1e-9, because: 'the cut runs along the axis' })
        expect(cuts.departures[cut].deeperMm).toBe(0)
      }
      const square = unit(addScaled(normal, axes.lateral, 0.1))
      const cuts = expectOk(overridesFromAxis(input, cut, square))
      const now = cutOf(expectOk(planCuts({ ...input, choices: { ...input.choices, cuts } })), cut)
      for (const k of [0, 1, 2] as const) expectNear(now.normal![k], square[k], { abs: 1e-9, because: 'square to it' })
    }
    const { input } = onto(demo, 'tibia-vertical', 'medial-partial')
    const tibial = legAxes(demo.tibia.frame, demo.tibia.side)
    for (const axis of [
      unit(addScaled(tibial.anterior, tibial.lateral, 0.15)),
      unit(addScaled(tibial.lateral, tibial.anterior, 0.15)),
    ]) {
      const cuts = expectOk(overridesFromAxis(input, 'tibia-vertical', axis))
      const { normal } = cutOf(expectOk(planCuts({ ...input, choices: { ...input.choices, cuts } })), 'tibia-vertical')
      const along = Math.abs(dot(normal!, axis))
      expectNear(Math.min(along, 1 - along), 0, { abs: 1e-9, because: 'parallel, or square to one that runs across' })
    }
    expectFailure(overridesFromAxis(input, 'tibia-vertical', tibial.proximal), 'case/out-of-range')
    expectFailure(
      overridesFromPlane({ ...demo, choices: choicesWith() }, 'tibia-vertical', {
        point: [0, 0, 0],
        normal: tibial.lateral,
      }),
      'case/out-of-range',
    )
    expectFailure(
      overridesFromPlane(input, 'femur-anterior', { point: [0, 0, 0], normal: axes.anterior }),
      'case/out-of-range',
    )
  }
})
