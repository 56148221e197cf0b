import { beforeAll, describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { offsetPlane, type Plane } from '../../src/geometry/plane.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'
import { type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh, mirrorMesh } from '../../src/geometry/transform.ts'
import { addScaled, scale } from '../../src/geometry/vec.ts'
import { achievedOnBone } from '../../src/planning/achieved-in-frame.ts'
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
  demo = demoInput({}, {}, 2)
  plan = expectOk(planCuts(demo))
}, 120_000)

const elsewhere: Rigid = { rotation: rotationAbout([0.4, 1, -0.7], 1.9), translation: [240, -60, 900] }

/** The tibia sawn 2° more varus and 3° less slope than planned, 1 mm deeper. */
function astray(): Mesh {
  const axes = legAxes(demo.tibia.frame, demo.tibia.side)
  const planned = plan.cuts.find((c) => c.id === 'tibia')!
  const normal = tibialNormal(axes, planned.varusDeg! + 2, planned.slopeDeg! - 3)
  const through: Plane = offsetPlane({ point: planned.point!, normal }, 1)
  return expectOk(clip(demo.tibiaBone.mesh, through)).kept
}

describe('planned against achieved, in a frame of its own', () => {
  test('a cut that went astray reads the same wherever the mesh after it lies, and the residual is stated', () => {
    const cut = astray()
    const native = { bone: 'tibia', before: demo.tibiaBone } as const
    const here = expectOk(achievedOnBone(plan, demo, native, cut))
    const there = expectOk(achievedOnBone(plan, demo, native, mapMesh(cut, elsewhere)))
    expect(here.registration.how).toBe('same-frame')
    expect(there.registration.how).toBe('registered')
    expect(there.registration.rmsMm).toBeLessThan(0.05)
    expectNear(there.registration.turnedDeg, (1.9 * 180) / Math.PI, { absDeg: 0.05, because: 'turned back as far' })
    const close = { absDeg: 0.06, because: 'flat cap, few rim triangles, registration within 0.02 mm' }
    for (const { cuts } of [here, there]) {
      expectNear(cuts[0]!.varusDeg!, 2, close)
      expectNear(cuts[0]!.slopeDeg!, -3, close)
    }
    for (const site of ['tibia-medial', 'tibia-lateral'] as const)
      expectNear(there.cuts[0]!.deeperMm[site]!, here.cuts[0]!.deeperMm[site]!, {
        absMm: 0.05,
        because: 'the same face after registration',
      })
  }, 60_000)

  test('a scan of the knee alone, with noise, is laid on the whole femur', () => {
    const kept = expectOk(pieces(plan, { femur: demo.femurBone, tibia: demo.tibiaBone })).find(
      (p) => p.id === 'femur-kept',
    )!.mesh
    const { frame } = demo.femur
    const top: Plane = { point: addScaled(frame.origin, frame.y, 140), normal: scale(frame.y, -1) }
    const normal = seededNormal(seededRandom(5))
    const knee = expectOk(clip(kept, top)).kept
    const noisy: Mesh = { positions: knee.positions.map((v) => v + 0.05 * normal()), triangles: knee.triangles }
    const native = { bone: 'femur', before: demo.femurBone } as const
    const { cuts, missing, registration } = expectOk(achievedOnBone(plan, demo, native, mapMesh(noisy, elsewhere)))
    expect(missing).toEqual([])
    expect(registration.how).toBe('registered')
    for (const cut of cuts) {
      expectNear(cut.tiltDeg, 0, { absDeg: 0.4, because: 'noise of 0.05 mm and a narrow anterior face' })
      for (const mm of Object.values(cut.deeperMm)) expectNear(mm!, 0, { absMm: 0.15, because: 'the same' })
    }
  }, 60_000)

  test('a mirrored bone, and one that does not lie where it is said to, are refused', () => {
    const native = { bone: 'tibia', before: demo.tibiaBone } as const
    expectFailure(achievedOnBone(plan, demo, native, mapMesh(astray(), elsewhere), true), 'fit/degenerate')
    expectFailure(achievedOnBone(plan, demo, native, mirrorMesh(astray())), 'fit/degenerate')
  }, 60_000)
})
