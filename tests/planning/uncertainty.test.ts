import { beforeAll, describe, expect, it } from 'vitest'
import { noSdEntered } from '../../src/anatomy/landmark-sd.ts'
import { defaultReferences, type Landmarks } from '../../src/anatomy/terms.ts'
import { distance, toDeg } from '../../src/geometry/vec.ts'
import { type PlanInput, planCuts } from '../../src/planning/plan.ts'
import { type Intervals, intervalsOf } from '../../src/planning/uncertainty.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

let demo: ReturnType<typeof demoInput>
beforeAll(() => {
  demo = demoInput({ ldfaDeg: 88, mptaDeg: 85.5 }, {}, 2.5)
}, 120_000)

function intervals(
  sds: Readonly<Record<string, number>>,
  choices: Parameters<typeof choicesWith>[0],
  meshAccuracyMm = 0.5,
): Intervals {
  const known = (landmarks: Landmarks): Landmarks =>
    Object.fromEntries(Object.entries(landmarks).map(([id, mark]) => [id, { ...mark, sdMm: sds[id] ?? 0 }]))
  const input: PlanInput = {
    ...demo,
    femur: { ...demo.femur, landmarks: known(demo.femur.landmarks) },
    tibia: { ...demo.tibia, landmarks: known(demo.tibia.landmarks) },
    choices: choicesWith(choices),
  }
  return expectOk(
    intervalsOf({
      knee: input,
      shared: true,
      references: defaultReferences,
      choices: { meshAccuracyMm, sdMm: noSdEntered },
      seed: 5,
      planned: { input, plan: expectOk(planCuts(input)) },
    }),
  )
}

describe('intervals of a plan', () => {
  it('give a site of a kinematic cut the surface’s own accuracy when landmarks are exact', () => {
    const { intervals: of, uncertainty } = intervals({}, {})
    for (const id of ['tibia-medial', 'femur-distal-lateral', 'femur-posterior-medial']) {
      const [low, high] = of[`sites.${id}.totalMm`]!
      expectNear((high - low) / 2, 0.5, { rel: 0.07, because: '±0.5 mm for 95 %, quantiles of 2000 draws' })
      expect(uncertainty.budgets[`sites.${id}.totalMm`]!.parts.map((part) => part.source)).toEqual(['meshSurface'])
    }
  })

  it('turn a mechanical distal cut by the hip’s error, which the far condyle answers by its lever arm', () => {
    const { uncertainty } = intervals({ hipCentre: 3 }, { recipe: 'mechanical' }, 0)
    const { sites } = expectOk(planCuts({ ...demo, choices: choicesWith({ recipe: 'mechanical' }) }))
    const [m, l] = ['femur-distal-medial', 'femur-distal-lateral'].map((id) => sites.find((s) => s.id === id)!.point)
    const tilt = 3 / distance(demo.femur.landmarks.hipCentre!.mm, demo.femur.frame.origin)
    const sds = ['medial', 'lateral'].map((side) => uncertainty.budgets[`sites.femur-distal-${side}.totalMm`]!.sd)
    // The proudest condyle sets the depth and keeps its thickness; the other is one spacing of the two sites away.
    expectNear(Math.min(...sds), 0, { absMm: 0.01, because: 'the cut is measured from this condyle' })
    expectNear(Math.max(...sds), tilt * distance(m!, l!), { rel: 0.08, because: 'small angles, 2000 draws' })
    // The same plane against the axis that is meant.
    expectNear(uncertainty.budgets['after.ldfaDeg']!.sd, toDeg(tilt), {
      rel: 0.06,
      because: 'small angles, 2000 draws',
    })
    expectNear(uncertainty.budgets['after.mptaDeg']!.sd, 0, { absDeg: 1e-9, because: 'the tibia knows no hip' })
  })

  it('shift total, piece and difference of a site alike', () => {
    const { intervals: of } = intervals({ ankleCentre: 3 }, { recipe: 'mechanical' })
    const width = (key: string) => of[`sites.tibia-medial.${key}`]![1] - of[`sites.tibia-medial.${key}`]![0]
    expectNear(width('pieceMm'), width('totalMm'), { absMm: 1e-9, because: 'kerf and wear are not drawn' })
    expectNear(width('differenceMm'), width('totalMm'), { absMm: 1e-9, because: 'the component is not drawn' })
  })

  it('name what is in them and what is not, and work for a medial partial', () => {
    const { intervals: of, uncertainty } = intervals({ hipCentre: 1 }, { procedure: 'medial-partial' })
    expect(Object.keys(of).filter((path) => path.endsWith('totalMm'))).toHaveLength(3)
    expect(uncertainty.excludes.join(' ')).toMatch(/slice thickness.*lying pose.*cartilage.*spacing/)
    expect(uncertainty.draws).toBe(2000)
  })

  it('move a partial’s limb axis and joint line with the hip by its lever arm, about the planned value', () => {
    const { intervals: of, uncertainty } = intervals({ hipCentre: 3 }, { procedure: 'medial-partial' }, 0)
    const tilt = toDeg(3 / distance(demo.femur.landmarks.hipCentre!.mm, demo.femur.frame.origin))
    for (const path of ['after.hkaDeg', 'after.ldfaDeg']) {
      expectNear(uncertainty.budgets[path]!.sd, tilt, { rel: 0.06, because: 'small angles, 2000 draws' })
    }
    expectNear(uncertainty.budgets['after.mptaDeg']!.sd, 0, { absDeg: 1e-9, because: 'the tibia knows no hip' })
    const plan = expectOk(planCuts({ ...demo, choices: choicesWith({ procedure: 'medial-partial' }) }))
    const [low, high] = of['after.hkaDeg']!
    expectNear((low + high) / 2, plan.after.hkaDeg!, { absDeg: 0.1 * tilt, because: 'quantiles of 2000 draws' })
  })
})
