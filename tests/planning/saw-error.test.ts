import { beforeAll, describe, expect, test } from 'vitest'
import type { Landmarks } from '../../src/anatomy/terms.ts'
import { distance, toDeg } from '../../src/geometry/vec.ts'
import { coordinatesOf, legAxes } from '../../src/planning/leg-axes.ts'
import { type PlanInput, planCuts } from '../../src/planning/plan.ts'
import { type SawErrorOptions, sawErrorDraws, sawErrors } from '../../src/planning/saw-error.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let demo: Demo
beforeAll(() => {
  demo = demoInput({ ldfaDeg: 88, mptaDeg: 85.5 }, {}, 2)
}, 120_000)

const options: SawErrorOptions = { draws: 4000, seed: 7, angleSdDeg: 1, depthSdMm: 0.5, landmarks: false }
const chances = (input: PlanInput, changes: Partial<SawErrorOptions> = {}) =>
  expectOk(sawErrors(input, expectOk(planCuts(input)), { ...options, ...changes }))

/** The demo with landmark uncertainty on chosen landmarks only, none elsewhere. */
function withSd(sds: Readonly<Record<string, number>>, choices: Parameters<typeof choicesWith>[0] = {}): PlanInput {
  const known = (landmarks: Landmarks): Landmarks =>
    Object.fromEntries(Object.entries(landmarks).map(([id, mark]) => [id, { ...mark, sdMm: sds[id] ?? 0 }]))
  return {
    ...demo,
    femur: { ...demo.femur, landmarks: known(demo.femur.landmarks) },
    tibia: { ...demo.tibia, landmarks: known(demo.tibia.landmarks) },
    choices: choicesWith(choices),
  }
}

describe('a saw that is off', () => {
  test('by nothing leaves every limit and tolerance as planned', () => {
    for (const recipe of ['mechanical', 'kinematic', 'restricted'] as const) {
      const input = { ...demo, choices: choicesWith({ recipe }) }
      const plan = expectOk(planCuts(input))
      const none = expectOk(sawErrors(input, plan, { ...options, draws: 100, angleSdDeg: 0, depthSdMm: 0 }))
      for (const limit of plan.limits) {
        const found = none.limits.find((l) => l.id === limit.id)!
        expectNear(found.value.mean, limit.value!, { absDeg: 1e-9, because: 'no error at all' })
        expect(found.inside).toBe(limit.status === 'inside' ? 1 : 0)
      }
      for (const site of plan.sites) {
        const found = none.sites.find((s) => s.id === site.id)!
        expectNear(found.differenceMm.mean, site.differenceMm, { absMm: 1e-9, because: 'no error at all' })
      }
    }
  })

  test('spreads the joint lines by its own SD and the limb by √2 of it', () => {
    const { limits } = chances(demo)
    const sd = (id: string) => limits.find((l) => l.id === id)!.value.sd
    const sampled = { rel: 0.05, because: '4000 draws know an SD to about 1 %' }
    expectNear(sd('ldfa'), 1, sampled)
    expectNear(sd('mpta'), 1, sampled)
    expectNear(sd('slope'), 1, sampled)
    expectNear(sd('hka'), Math.SQRT2, sampled)
  })

  test('spreads a plateau site by depth and lever arms together', () => {
    const axes = legAxes(demo.tibia.frame, demo.tibia.side)
    const [medial, lateral] = [demo.tibia.medial.point, demo.tibia.lateral.point].map((p) => coordinatesOf(axes, p))
    const arm = ((Math.PI / 180) * Math.abs(medial![2] - lateral![2])) / 2
    const ahead = ((Math.PI / 180) * Math.abs(medial![0] - lateral![0])) / 2
    const { sites } = chances(demo)
    const site = sites.find((s) => s.id === 'tibia-medial')!
    expectNear(site.differenceMm.sd, Math.hypot(0.5, arm, ahead), { rel: 0.05, because: 'small angles, 4000 draws' })
    // A normal spread about 0 lies within ±0.5 with probability erf(0.5 / (sd √2)).
    expectNear(site.within, erf(0.5 / (site.differenceMm.sd * Math.SQRT2)), { abs: 0.03, because: '4000 draws' })
  })

  test('draws the same numbers from the same seed and others from another', () => {
    expect(chances(demo, { draws: 200 })).toEqual(chances(demo, { draws: 200 }))
    expect(chances(demo, { draws: 200, seed: 8 })).not.toEqual(chances(demo, { draws: 200 }))
  })

  test('reports progress every hundred draws and can be left at any of them', () => {
    const plan = expectOk(planCuts(demo))
    const draws = sawErrorDraws(demo, plan, { ...options, draws: 1000 })
    expect(draws.next()).toEqual({ done: false, value: 0.1 })
    expect(draws.next()).toEqual({ done: false, value: 0.2 })
  })

  test('works for a medial partial and refuses nonsense', () => {
    const input = { ...demo, choices: choicesWith({ procedure: 'medial-partial' }) }
    const partial = chances(input)
    expect(partial.sites).toHaveLength(3)
    expectNear(partial.sites[0]!.differenceMm.sd, 0.5, { rel: 0.05, because: 'one site: depth alone' })
    const plan = expectOk(planCuts(demo))
    expectFailure(sawErrors(demo, plan, { ...options, draws: 0 }), 'case/out-of-range')
    expectFailure(sawErrors(demo, plan, { ...options, angleSdDeg: -1 }), 'case/out-of-range')
  })
})

describe('landmarks that err', () => {
  test('turn a mechanical cut by the hip centre’s error over the femur’s length', () => {
    const input = withSd({ hipCentre: 4 }, { recipe: 'mechanical' })
    const { limits } = expectOk(
      sawErrors(input, expectOk(planCuts(input)), { ...options, angleSdDeg: 0, depthSdMm: 0, landmarks: true }),
    )
    const long = distance(demo.femur.landmarks.hipCentre!.mm, demo.femur.frame.origin)
    // Check values §1.1: an error e tilts the axis by atan(e / length).
    expectNear(limits.find((l) => l.id === 'ldfa')!.value.sd, toDeg(Math.atan(4 / long)), {
      rel: 0.06,
      because: 'small angles, 4000 draws',
    })
    expectNear(limits.find((l) => l.id === 'mpta')!.value.sd, 0, { absDeg: 1e-9, because: 'the tibia knows no hip' })
  })

  test('turn a kinematic tibial cut by how far the plateau points err off the surface, over their spacing', () => {
    const input = withSd({ plateauMedial: 0.5, plateauLateral: 0.5 })
    const { limits } = expectOk(
      sawErrors(input, expectOk(planCuts(input)), { ...options, angleSdDeg: 0, depthSdMm: 0, landmarks: true }),
    )
    const axes = legAxes(demo.tibia.frame, demo.tibia.side)
    const [medial, lateral] = [demo.tibia.medial.point, demo.tibia.lateral.point].map((p) => coordinatesOf(axes, p))
    const spacing = Math.abs(medial![2] - lateral![2])
    const tilt = toDeg(Math.atan((Math.SQRT2 * (0.5 / 1.96)) / spacing))
    // Along the surface the points slide with the cut; off it they err as the surface does, ±0.5 mm for 95 %.
    expectNear(limits.find((l) => l.id === 'mpta')!.value.sd, tilt, { rel: 0.08, because: 'small angles, 4000 draws' })
  })
})

/** Error function by Abramowitz and Stegun, Handbook of Mathematical Functions 1964, 7.1.26 (|error| ≤ 1.5e-7). */
function erf(x: number): number {
  const t = 1 / (1 + 0.3275911 * x)
  const poly = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t
  return 1 - poly * Math.exp(-x * x)
}
