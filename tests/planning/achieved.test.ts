import { beforeAll, describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { offsetPlane, type Plane } from '../../src/geometry/plane.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'
import { achievedCuts } from '../../src/planning/achieved.ts'
import { tibialNormal } from '../../src/planning/cut-normals.ts'
import { legAxes } from '../../src/planning/leg-axes.ts'
import { pieces } from '../../src/planning/pieces.ts'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let demo: Demo
let plan: Plan
beforeAll(() => {
  demo = demoInput({}, {}, 1.5)
  plan = expectOk(planCuts(demo))
}, 120_000)

const kept = (bone: 'femur' | 'tibia'): Mesh => {
  const made = expectOk(pieces(plan, { femur: demo.femurBone, tibia: demo.tibiaBone }))
  return made.find((p) => p.id === `${bone}-kept`)!.mesh
}

/** Scanner noise on every vertex. */
function noisy(mesh: Mesh, sdMm: number): Mesh {
  const normal = seededNormal(seededRandom(3))
  return { positions: mesh.positions.map((v) => v + sdMm * normal()), triangles: mesh.triangles }
}

describe('planned against achieved', () => {
  test('a bone cut as planned shows every cut where it was planned', () => {
    for (const bone of ['femur', 'tibia'] as const) {
      const { cuts, missing } = expectOk(achievedCuts(plan, demo, bone, kept(bone)))
      expect(missing).toEqual([])
      expect(cuts.map((c) => c.id)).toEqual(plan.cuts.filter((c) => c.bone === bone).map((c) => c.id))
      for (const cut of cuts) {
        expectNear(cut.tiltDeg, 0, {
          absDeg: 0.02,
          because: 'caps lie exactly in the plane; few rim triangles join them',
        })
        for (const mm of Object.values(cut.deeperMm)) expectNear(mm!, 0, { absMm: 0.02, because: 'the same' })
      }
    }
  })

  test('a cut that went astray is measured in its own angles and at its sites', () => {
    const axes = legAxes(demo.tibia.frame, demo.tibia.side)
    const planned = plan.cuts.find((c) => c.id === 'tibia')!
    const normal = tibialNormal(axes, planned.varusDeg! + 2, planned.slopeDeg! - 3)
    const through: Plane = offsetPlane({ point: planned.point!, normal }, 1)
    const cut = expectOk(clip(demo.tibiaBone.mesh, through)).kept
    const { cuts } = expectOk(achievedCuts(plan, demo, 'tibia', cut))
    const close = { absDeg: 0.05, because: 'a flat cap with few rim triangles' }
    expectNear(cuts[0]!.varusDeg!, 2, close)
    expectNear(cuts[0]!.slopeDeg!, -3, close)
    expect(cuts[0]!.deeperMm['tibia-medial']! + cuts[0]!.deeperMm['tibia-lateral']!).toBeGreaterThan(0.5)
  })

  test('holds under scanner noise of 0.1 mm', () => {
    const { cuts } = expectOk(achievedCuts(plan, demo, 'tibia', noisy(kept('tibia'), 0.05)))
    expectNear(cuts[0]!.tiltDeg, 0, { absDeg: 0.2, because: 'many triangles average the noise' })
  })

  test('an uncut bone is told apart', () => {
    expectFailure(achievedCuts(plan, demo, 'tibia', demo.femurBone.mesh), 'cut/misses-bone')
  })
})
