import { beforeAll, describe, expect, test } from 'vitest'
import { isClosed } from '../../src/geometry/closed.ts'
import { volume } from '../../src/geometry/measure.ts'
import { signedDistance } from '../../src/geometry/plane.ts'
import { dot, toDeg } from '../../src/geometry/vec.ts'
import { coordinatesOf, legAxes } from '../../src/planning/leg-axes.ts'
import { pieces } from '../../src/planning/pieces.ts'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import { type PlanChoices, recipeNames } from '../../src/planning/terms.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput, wornBy } from './demo-input.ts'
import { realInput } from './real-input.ts'

type Demo = ReturnType<typeof demoInput>
let right: Demo
let left: Demo

beforeAll(() => {
  right = demoInput({ mptaDeg: 85.5, medialWearMm: 1 }, {}, 2)
  left = demoInput({ mptaDeg: 85.5, medialWearMm: 1, side: 'left' }, {}, 2)
}, 120_000)

const partial = (demo: Demo, changes: Partial<PlanChoices> = {}): Plan =>
  expectOk(planCuts({ ...demo, choices: choicesWith({ procedure: 'medial-partial', ...changes }) }))
const cutOf = (plan: Plan, id: string) => plan.cuts.find((c) => c.id === id)!

describe('a medial partial', () => {
  test('has three medial sites, with difference 0 by every recipe', () => {
    for (const recipe of recipeNames) {
      for (const wear of [wornBy(0, 0), wornBy(3, 0)]) {
        const { sites } = partial(right, { recipe, wear })
        expect(sites.map((s) => s.id)).toEqual(['tibia-medial', 'femur-distal-medial', 'femur-posterior-medial'])
        for (const site of sites) {
          expectNear(site.differenceMm, 0, { absMm: 1e-9, because: 'laid through the site itself' })
          expectNear(site.pieceMm + site.kerfMm + site.wornMm, site.totalMm, { absMm: 1e-12, because: 'bookkeeping' })
        }
      }
    }
  })

  test('keeps the native joint lines by the kinematic recipe and square cuts by the mechanical one', () => {
    const kinematic = partial(right)
    const { angles } = right.truth
    const close = { absDeg: 1e-6, because: 'taken from the native angles' }
    expectNear(cutOf(kinematic, 'tibia').varusDeg!, 90 - angles.mptaDeg, close)
    expectNear(cutOf(kinematic, 'femur-distal').valgusDeg!, 90 - angles.ldfaDeg, close)
    expectNear(cutOf(kinematic, 'tibia').slopeDeg!, angles.slopeMedialDeg, close)
    const mechanical = partial(right, { recipe: 'mechanical' })
    expectNear(cutOf(mechanical, 'tibia').varusDeg!, 0, close)
    expectNear(cutOf(mechanical, 'tibia').slopeDeg!, 3, close)
  })

  test('leaves the native limb axis, and turns it by atan(over-replacement / spacing) when the cut is shallower', () => {
    const native = partial(right)
    expectNear(native.after.hkaDeg!, right.truth.angles.hkaDeg, { absDeg: 1e-9, because: 'nothing over-replaced' })
    const depthMm = cutOf(native, 'tibia').depthMm! - 1.5
    const cuts = { ...right.choices.cuts, tibia: { ...right.choices.cuts.tibia, depthMm } }
    const over = partial(right, { cuts })
    const axes = legAxes(right.tibia.frame, 'right')
    const spacing = coordinatesOf(axes, right.tibia.lateral.point)[2] - coordinatesOf(axes, right.tibia.medial.point)[2]
    expectNear(over.after.hkaDeg! - native.after.hkaDeg!, toDeg(Math.atan(1.5 / spacing)), {
      absDeg: 1e-9,
      because: 'the conventions’ formula; 1.5 mm more put back than taken',
    })
    expect(over.after.hkaDeg!).toBeGreaterThan(native.after.hkaDeg!)
    expectNear(
      over.after.mptaDeg - over.after.ldfaDeg,
      native.after.mptaDeg - native.after.ldfaDeg + toDeg(Math.atan(1.5 / spacing)),
      {
        absDeg: 1e-9,
        because: 'the joint lines turn as the limb does',
      },
    )
  })

  test('held to the joint line limits tells each correction, with what it costs: nothing at the sites it pivots about', () => {
    const tight = { ...right.choices.limits, jointLineLowDeg: 87.5, jointLineHighDeg: 90 }
    const { ldfaDeg, mptaDeg } = right.truth.angles
    const plan = partial(right, { recipe: 'restricted', limits: tight })
    const held = (deg: number) => Math.min(90, Math.max(87.5, deg))
    const told = Object.fromEntries(plan.corrections!.map((step) => [step.limit, step]))
    for (const [id, native] of [
      ['ldfa', ldfaDeg],
      ['mpta', mptaDeg],
    ] as const) {
      if (held(native) === native) expect(told[id]).toBeUndefined()
      else expectNear(told[id]!.deg, held(native) - native, { absDeg: 1e-6, because: 'to the limit and no farther' })
    }
    expect(told['mpta']).toBeDefined()
    for (const step of plan.corrections!) {
      for (const mm of [...Object.values(step.siteDeltaMm), ...Object.values(step.gapDeltaMm!)])
        expectNear(mm, 0, { absMm: 1e-9, because: 'each medial site keeps difference 0' })
      expect(Object.keys(step.siteDeltaMm)).toEqual(plan.sites.map(({ id }) => id))
    }
    expect(partial(right, { recipe: 'kinematic', limits: tight }).corrections).toEqual([])
  })

  test('moves its tray by number, front to back and away from the wall; into the wall is refused', () => {
    const shifted = (shiftAnteriorMm: number, shiftLateralMm: number) => {
      const { cuts } = right.choices
      return { cuts: { ...cuts, tibia: { ...cuts.tibia, shiftAnteriorMm, shiftLateralMm } } }
    }
    const base = partial(right)
    const moved = partial(right, shifted(2, -1.5))
    const by = (axis: 'medial' | 'posterior') =>
      moved.tray.centre.reduce((sum, v, i) => sum + (v - base.tray.centre[i]!) * base.tray[axis][i]!, 0)
    expectNear(by('posterior'), -2, { absMm: 1e-9, because: 'as asked' })
    expectNear(by('medial'), 1.5, { absMm: 1e-9, because: 'as asked' })
    expect(moved.coverage!.largestOverhangMm).toBeGreaterThan(base.coverage!.largestOverhangMm + 0.5)
    expect(moved.sites).toEqual(base.sites)
    const walled = planCuts({ ...right, choices: choicesWith({ procedure: 'medial-partial', ...shifted(0, 1) }) })
    expectFailure(walled, 'plan/infeasible')
  })

  test('takes the tibial corner in one piece and the femur only medially of the notch', () => {
    const plan = partial(right)
    const made = expectOk(pieces(plan, { femur: right.femurBone, tibia: right.tibiaBone }))
    for (const piece of made) expect(isClosed(piece.mesh), piece.id).toBe(true)
    const ids = made.map((p) => p.id)
    expect(ids).toContain('tibia')
    expect(ids).not.toContain('tibia-vertical')
    const of = (bone: string) => made.filter((p) => p.bone === bone)
    for (const [bone, whole] of [
      ['femur', right.femurBone],
      ['tibia', right.tibiaBone],
    ] as const) {
      const sum = of(bone).reduce((total, p) => total + volume(p.mesh), 0)
      expectNear(sum, whole.volumeMm3!, { rel: 1e-9, because: 'nothing is lost' })
      const removed = plan.cuts.filter((c) => c.bone === bone).reduce((total, c) => total + c.removedMm3!, 0)
      const meshes = of(bone)
        .filter((p) => !p.id.endsWith('kept'))
        .reduce((total, p) => total + volume(p.mesh), 0)
      expectNear(removed, meshes, { rel: 1e-8, because: 'flux against capped meshes' })
      const total = bone === 'femur' ? plan.volumes.femurRemovedMm3 : plan.volumes.tibiaRemovedMm3
      expectNear(total!, removed, { rel: 1e-12, because: 'a sum' })
    }
    for (const cut of plan.cuts)
      expectNear(cut.pieceMm3! + cut.kerfMm3!, cut.removedMm3!, { rel: 1e-9, because: 'pieces and slabs' })
    for (const piece of of('femur')) {
      if (piece.id === 'femur-kept') continue
      const p = piece.mesh.positions
      for (let i = 0; i < p.length; i += 3)
        expect(signedDistance(plan.femoralNotch!, [p[i]!, p[i + 1]!, p[i + 2]!])).toBeGreaterThan(-1e-6)
    }
  })

  test('stands its vertical cut along the tibial axis where it is told to', () => {
    const cuts = { ...right.choices.cuts, tibia: { ...right.choices.cuts.tibia, verticalMm: 9, rotationDeg: 6 } }
    const plan = partial(right, { cuts })
    const axes = legAxes(right.tibia.frame, 'right')
    const wall = cutOf(plan, 'tibia-vertical')
    expectNear(dot(wall.normal!, axes.proximal), 0, { abs: 1e-12, because: 'vertical' })
    expectNear(signedDistance({ point: wall.point!, normal: wall.normal! }, axes.origin), 9, {
      absMm: 1e-9,
      because: 'as set',
    })
    expectNear(toDeg(Math.asin(-dot(wall.normal!, axes.anterior))), 6, { absDeg: 1e-9, because: 'turned outward' })
  })

  test('costs less bone than a total, and a later total finds what it left', () => {
    const plan = partial(right)
    const total = expectOk(planCuts({ ...right, choices: choicesWith() }))
    expect(plan.volumes.tibiaRemovedMm3!).toBeLessThan(0.6 * total.volumes.tibiaRemovedMm3!)
    expect(plan.volumes.femurRemovedMm3!).toBeLessThan(0.6 * total.volumes.femurRemovedMm3!)
    const { conversion } = plan
    expect(conversion!.tibialBoneLeftMm3!).toBeGreaterThan(0)
    expect(conversion!.tibialBoneLeftMm3!).toBeLessThan(total.volumes.tibiaRemovedMm3!)
    expect(conversion!.insertMm!).toBeGreaterThanOrEqual(conversion!.plainInsertMm)
    const deep = { ...right.choices.cuts, tibia: { ...right.choices.cuts.tibia, depthMm: 14 } }
    const deeper = partial(right, { cuts: deep })
    expect(deeper.conversion!.deeperMm).toBeGreaterThan(3)
    expect(deeper.conversion!.insertMm!).toBeGreaterThanOrEqual(10)
  })

  test('mirrors for a left leg', () => {
    const [a, b] = [partial(right), partial(left)]
    for (const cut of a.cuts) {
      const twin = cutOf(b, cut.id)
      for (const [k, sign] of [
        [0, -1],
        [1, 1],
        [2, 1],
      ] as const)
        expectNear(twin.normal![k], sign * cut.normal![k], { abs: 1e-6, because: 'mirror images' })
      expectNear(twin.removedMm3!, cut.removedMm3!, { rel: 1e-6, because: 'mirror images' })
    }
    expect(b.implants).toEqual(a.implants)
  })

  test('refuses a vertical cut that leaves no plateau and impossible sizes', () => {
    const cuts = { ...right.choices.cuts, tibia: { ...right.choices.cuts.tibia, verticalMm: 200 } }
    const far = planCuts({ ...right, choices: choicesWith({ procedure: 'medial-partial', cuts }) })
    expectFailure(far, 'cut/misses-bone')
    const implants = { ...right.choices.implants, femurSize: 12 }
    const size = planCuts({ ...right, choices: choicesWith({ procedure: 'medial-partial', implants }) })
    expectFailure(size, 'plan/impossible-size')
  })
})

test('plans medial partials on real bones with closed pieces', () => {
  for (const [femur, tibia] of [
    ['bp3d/femur_right.stl', 'bp3d/tibia_right.stl'],
    ['hra/femur_left.ply', 'hra/tibia_left.ply'],
  ] as const) {
    const input = realInput(femur, tibia)
    const plan = expectOk(planCuts({ ...input, choices: choicesWith({ procedure: 'medial-partial' }) }))
    for (const site of plan.sites) expect(site.pieceMm).toBeGreaterThan(0)
    for (const piece of expectOk(pieces(plan, { femur: input.femurBone, tibia: input.tibiaBone })))
      expect(isClosed(piece.mesh), `${femur} ${piece.id}`).toBe(true)
  }
})
