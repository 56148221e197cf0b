import * as fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { isClosed } from '../../src/geometry/closed.ts'
import { volume } from '../../src/geometry/measure.ts'
import { type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { angleBetween, dot, toDeg, type Vec3 } from '../../src/geometry/vec.ts'
import { chooseComponents } from '../../src/planning/choose.ts'
import { departureTo, sawnPlane } from '../../src/planning/departures.ts'
import { legAxes } from '../../src/planning/leg-axes.ts'
import { pieces } from '../../src/planning/pieces.ts'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import { sawErrors } from '../../src/planning/saw-error.ts'
import { type CutDeparture, type FemoralCutId, femoralCutIds, onFace } from '../../src/planning/terms.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let right: Demo
let left: Demo
beforeAll(() => {
  right = demoInput({}, {}, 2)
  left = demoInput({ side: 'left' }, {}, 2)
}, 120_000)

type Departures = Readonly<Partial<Record<FemoralCutId, Partial<CutDeparture>>>>

function choicesOf(changed: Departures, procedure: 'total' | 'medial-partial' = 'total') {
  const plain = choicesWith({ procedure })
  const departures = Object.fromEntries(
    femoralCutIds.map((id) => [id, { ...onFace, ...changed[id] }]),
  ) as unknown as typeof plain.cuts.departures
  return { ...plain, cuts: { ...plain.cuts, departures } }
}
const planned = (demo: Demo, changed: Departures = {}, procedure: 'total' | 'medial-partial' = 'total'): Plan =>
  expectOk(planCuts({ ...demo, choices: choicesOf(changed, procedure) }))
const cutOf = (plan: Plan, id: string) => plan.cuts.find((c) => c.id === id)!
const planeOf = (plan: Plan, id: string): Plane => {
  const { point, normal } = cutOf(plan, id)
  return { point: point!, normal: normal! }
}
const exact = { abs: 1e-9, because: 'the same arithmetic' }
const cutsOf = {
  total: femoralCutIds,
  'medial-partial': ['femur-distal', 'femur-posterior', 'femur-chamfer-posterior'] as const,
}

describe('a femoral cut that departs from the component’s box', () => {
  test('moves by the number entered, and no other plane moves', () => {
    for (const procedure of ['total', 'medial-partial'] as const) {
      const base = planned(right, {}, procedure)
      for (const id of cutsOf[procedure]) {
        const plan = planned(right, { [id]: { deeperMm: 1 } }, procedure)
        for (const other of base.cuts) {
          const by = other.id === id ? 1 : 0
          const was = planeOf(base, other.id)
          const now = planeOf(plan, other.id)
          expectNear(dot(was.normal, now.point) - dot(was.normal, was.point), by, exact)
          expectNear(angleBetween(was.normal, now.normal), 0, { abs: 1e-7, because: 'not turned' })
        }
        expect(cutOf(plan, id).removedMm3!, id).toBeGreaterThan(cutOf(base, id).removedMm3!)
      }
    }
  })

  test('turns by the angle entered: the posterior chamfer steeper, the anterior one flatter, the medial edge deeper', () => {
    for (const demo of [right, left]) {
      const base = planned(demo)
      const axes = legAxes(demo.femur.frame, demo.femur.side)
      for (const id of femoralCutIds) {
        const flexed = planned(demo, { [id]: { flexionDeg: 2 } })
        const tipped = planned(demo, { [id]: { medialDeg: 2 } })
        for (const turned of [flexed, tipped])
          expectNear(toDeg(angleBetween(planeOf(turned, id).normal, planeOf(base, id).normal)), 2, {
            absDeg: 1e-6,
            because: 'a turn about an axis in the plane',
          })
        // A medial edge that goes deeper into the kept bone tips the normal laterally.
        expect(dot(planeOf(tipped, id).normal, axes.lateral)).toBeGreaterThan(
          dot(planeOf(base, id).normal, axes.lateral),
        )
      }
      const steep = (plan: Plan, id: string) =>
        toDeg(angleBetween(planeOf(plan, id).normal, planeOf(plan, 'femur-distal').normal))
      const ofOne = (id: FemoralCutId) => steep(planned(demo, { [id]: { flexionDeg: 2 } }), id) - steep(base, id)
      expectNear(ofOne('femur-chamfer-posterior'), 2, { absDeg: 1e-6, because: 'steeper to the distal cut' })
      expectNear(ofOne('femur-chamfer-anterior'), -2, { absDeg: 1e-6, because: 'flatter to the distal cut' })
      // As flexion of the whole component: the anterior edge of the distal cut is lower.
      const distal = planned(demo, { 'femur-distal': { flexionDeg: 2 } })
      expect(cutOf(distal, 'femur-distal').flexionDeg!).toBeGreaterThan(cutOf(base, 'femur-distal').flexionDeg! + 1.9)
    }
  })

  test('leaves the component, the limb and the joint lines where they were', () => {
    const base = planned(right)
    const plan = planned(right, {
      'femur-distal': { deeperMm: 1, medialDeg: 1 },
      'femur-posterior': { deeperMm: -0.5, flexionDeg: 2 },
    })
    expect(plan.after).toEqual(base.after)
    expect(plan.femoralPlace).toEqual(base.femoralPlace)
    expect(plan.components.map((c) => c.patientFromComponent)).toEqual(
      base.components.map((c) => c.patientFromComponent),
    )
    expect(plan.gaps!.slackMm).toEqual(base.gaps!.slackMm)
    expect(plan.consequences.jointLineObliquityDeg).toBe(base.consequences.jointLineObliquityDeg)
  })

  test('books its sites where it is sawn: one millimetre deeper is one more taken', () => {
    for (const [id, site] of [
      ['femur-distal', 'femur-distal-medial'],
      ['femur-posterior', 'femur-posterior-lateral'],
    ] as const) {
      const at = (plan: Plan) => plan.sites.find((s) => s.id === site)!
      const [was, now] = [at(planned(right)), at(planned(right, { [id]: { deeperMm: 1 } }))]
      expectNear(now.totalMm - was.totalMm, 1, exact)
      expectNear(now.differenceMm - was.differenceMm, 1, exact)
      expectNear(now.pieceMm + now.kerfMm + now.wornMm, now.totalMm, exact)
      expectNear(
        -signedDistance(planeOf(planned(right, { [id]: { deeperMm: 1 } }), id), now.point),
        now.distanceMm,
        exact,
      )
    }
  })

  test('tells room and interference against the component: those of a parallel plane, and of a turned one at its edges', () => {
    const base = planned(right)
    for (const id of femoralCutIds) {
      expect([cutOf(base, id).gapMm, cutOf(base, id).interferenceMm], id).toEqual([0, 0])
      const deeper = cutOf(planned(right, { [id]: { deeperMm: 1 } }), id)
      expectNear(deeper.gapMm!, 1, exact)
      expectNear(deeper.interferenceMm!, 0, exact)
      const shallower = cutOf(planned(right, { [id]: { deeperMm: -1 } }), id)
      expectNear(shallower.gapMm!, 0, exact)
      expectNear(shallower.interferenceMm!, 1, exact)
      const turned = cutOf(planned(right, { [id]: { flexionDeg: 2 } }), id)
      // About its middle: one end stands in, the other off, neither by more than half the component times sin 2°.
      const most = 40 * Math.sin((2 * Math.PI) / 180)
      for (const mm of [turned.gapMm!, turned.interferenceMm!]) {
        expect(mm, id).toBeGreaterThan(0.05)
        expect(mm, id).toBeLessThan(most)
      }
    }
    const warned = planned(right, { 'femur-anterior': { deeperMm: -1 } }).warnings.filter((w) => w.code === 'plan/seat')
    expect(warned.map((w) => w.message).join()).toContain('anterior cut bone stands 1.0 mm into the component')
  })

  test('notches by what the anterior cut goes deeper, as seen along the component', () => {
    const [was, now] = [planned(right), planned(right, { 'femur-anterior': { deeperMm: 1 } })]
    const face = was.femoralFaces['femur-anterior']!
    const forward = was.components[0]!.patientFromComponent.rotation
    const anterior: Vec3 = [forward[0], forward[3], forward[6]]
    expectNear(now.consequences.notchMm! - was.consequences.notchMm!, 1 / -dot(face.normal, anterior), {
      absMm: 1e-9,
      because: 'the flange leans a little, so a millimetre along its normal is more along the axis',
    })
  })

  test('is carried out on the bones: every piece closed, kept and pieces make the whole, volumes those of the plan', () => {
    const changed: Departures = {
      'femur-anterior': { deeperMm: 1, medialDeg: 1 },
      'femur-chamfer-posterior': { flexionDeg: 2 },
      'femur-distal': { deeperMm: -0.5 },
    }
    const plan = planned(right, changed)
    const made = expectOk(pieces(plan, { femur: right.femurBone, tibia: right.tibiaBone }))
    let sum = 0
    for (const piece of made) {
      expect(isClosed(piece.mesh), piece.id).toBe(true)
      if (piece.bone === 'femur') sum += volume(piece.mesh)
      if (piece.bone === 'femur' && piece.id !== 'femur-kept')
        expectNear(volume(piece.mesh), cutOf(plan, piece.id).removedMm3!, {
          abs: 1e-9 * right.femurBone.volumeMm3!,
          because: 'clipped mesh against integrated volume',
        })
    }
    expectNear(sum, right.femurBone.volumeMm3!, { abs: 1e-9 * sum, because: 'conservation' })
  })

  test('can be read back off any plane near the face (any depth and turns, both sides)', () => {
    const numbers = fc.record({
      deeperMm: fc.double({ min: -5, max: 5, noNaN: true }),
      flexionDeg: fc.double({ min: -15, max: 15, noNaN: true }),
      medialDeg: fc.double({ min: -15, max: 15, noNaN: true }),
    })
    for (const demo of [right, left]) {
      const { sawn, femoralFit } = expectOk(chooseComponents(demo))
      const { frame } = femoralFit.box
      const { side } = demo.femur
      fc.assert(
        fc.property(numbers, fc.integer({ min: 0, max: 4 }), (departure, i) => {
          const face = sawn.faces[i]!
          const back = departureTo(face, frame, side, sawnPlane(face, frame, side, departure))
          for (const key of ['deeperMm', 'flexionDeg', 'medialDeg'] as const)
            expectNear(back[key], departure[key], { abs: 1e-6, because: 'the same three numbers' })
        }),
        { numRuns: 100, seed: 5 },
      )
    }
  })

  test('on a mirrored leg is the mirrored cut', () => {
    const changed: Departures = {
      'femur-posterior': { medialDeg: 3, flexionDeg: 1 },
      'femur-chamfer-anterior': { medialDeg: -2 },
    }
    const [a, b] = [planned(right, changed), planned(left, changed)]
    for (const id of femoralCutIds) {
      expectNear(cutOf(a, id).removedMm3!, cutOf(b, id).removedMm3!, { abs: 0.5, because: 'mirror image' })
      expectNear(cutOf(a, id).gapMm!, cutOf(b, id).gapMm!, { absMm: 1e-6, because: 'mirror image' })
    }
  })

  test('the saw study starts from the sawn planes and moves the limb by the saw’s error only', () => {
    const changed: Departures = {
      'femur-distal': { medialDeg: 1.5, deeperMm: 0.3 },
      'femur-posterior': { flexionDeg: 3, deeperMm: 1 },
    }
    const input = { ...right, choices: choicesOf(changed) }
    const plan = expectOk(planCuts(input))
    const exactSaw = { draws: 100, seed: 1, angleSdDeg: 0, depthSdMm: 0, landmarks: false }
    const chances = expectOk(sawErrors(input, plan, exactSaw))
    for (const { id, differenceMm } of chances.sites)
      expectNear(differenceMm.mean, plan.sites.find((s) => s.id === id)!.differenceMm, {
        absMm: 1e-6,
        because: 'no error, the plan itself',
      })
    for (const { id, value } of chances.limits)
      expectNear(value.mean, plan.limits.find((l) => l.id === id)!.value!, {
        absDeg: 1e-9,
        because: 'no error, the plan itself',
      })
  })

  test('a cut that takes no bone is refused: moved off it, or laid on its surface', () => {
    const off = planCuts({ ...right, choices: choicesOf({ 'femur-anterior': { deeperMm: -15 } }) })
    expectFailure(off, 'cut/misses-bone')
    for (const key of ['distalMm', 'posteriorMm'] as const) {
      const { cuts } = choicesWith()
      const touching = { ...cuts, femur: { ...cuts.femur, [key]: 0 } }
      expectFailure(planCuts({ ...right, choices: choicesWith({ cuts: touching }) }), 'cut/misses-bone')
    }
  })

  test('beyond 20 mm or 20° of the component is refused with its place', () => {
    const refused = planCuts({ ...right, choices: choicesOf({ 'femur-anterior': { deeperMm: 1e9 } }) })
    expectFailure(refused, 'case/out-of-range')
    expect(refused.ok ? null : refused.failure.place).toBe('cuts.departures.femur-anterior')
    expectFailure(
      planCuts({ ...right, choices: choicesOf({ 'femur-distal': { flexionDeg: Number.NaN } }) }),
      'case/out-of-range',
    )
  })
})
