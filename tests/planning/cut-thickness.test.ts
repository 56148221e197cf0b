import { beforeAll, expect, test } from 'vitest'
import { makeBone } from '../../src/geometry/bone.ts'
import { offsetPlane, type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { unit, type Vec3 } from '../../src/geometry/vec.ts'
import { greatestThicknessMm } from '../../src/planning/cut-thickness.ts'
import { pieces } from '../../src/planning/pieces.ts'
import { planCuts } from '../../src/planning/plan.ts'
import { box, icosphere } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput } from './demo-input.ts'

type Demo = ReturnType<typeof demoInput>
let demo: Demo
beforeAll(() => {
  demo = demoInput({}, {}, 2)
}, 120_000)

test('the thickest place of a slab, of a cap and of a corner between two earlier cuts', () => {
  const cube = expectOk(makeBone(box([0, 0, 0], [20, 20, 20])))
  const low: Plane = { point: [0, 5, 0], normal: [0, 1, 0] }
  const exact = { absMm: 1e-9, because: 'flat faces' }
  expectNear(greatestThicknessMm(cube, low, []), 5, exact)
  // A chamfer of 45° over a corner that both earlier cuts have taken: what is left stands 2/√2 high.
  const chamfer: Plane = { point: [6, 0, 0], normal: unit([1, 1, 0]) }
  const fromLeft: Plane = { point: [2, 0, 0], normal: [1, 0, 0] }
  const fromBelow: Plane = { point: [0, 2, 0], normal: [0, 1, 0] }
  expectNear(greatestThicknessMm(cube, chamfer, [fromLeft, fromBelow]), 2 / Math.SQRT2, exact)
  const ball = expectOk(makeBone(icosphere(10, 4)))
  expectNear(greatestThicknessMm(ball, { point: [0, 6, 0], normal: [0, -1, 0] }, []), 4, {
    absMm: 1e-6,
    because: 'a vertex stands at the pole',
  })
  expect(greatestThicknessMm(cube, { point: [0, -1, 0], normal: [0, 1, 0] }, [])).toBe(0)
})

test('every cut has its own thickness: the same as the farthest corner of its removed solid', () => {
  for (const procedure of ['total', 'medial-partial'] as const) {
    const plan = expectOk(planCuts({ ...demo, choices: choicesWith({ procedure }) }))
    const made = expectOk(pieces(plan, { femur: demo.femurBone, tibia: demo.tibiaBone }))
    let measured = 0
    for (const cut of plan.cuts) {
      expect(cut.meanMm, cut.id).toBeGreaterThan(0)
      expect(cut.greatestMm!, cut.id).toBeGreaterThanOrEqual(cut.meanMm! - 1e-9)
      const solid = made.find((piece) => piece.id === cut.id)
      if (!solid || (procedure === 'medial-partial' && cut.bone === 'tibia')) continue
      const plane: Plane = offsetPlane({ point: cut.point!, normal: cut.normal! }, 0)
      let farthest = 0
      for (let i = 0; i < solid.mesh.positions.length; i += 3) {
        const p: Vec3 = [solid.mesh.positions[i]!, solid.mesh.positions[i + 1]!, solid.mesh.positions[i + 2]!]
        farthest = Math.max(farthest, 0 - signedDistance(plane, p))
      }
      expectNear(cut.greatestMm!, farthest, { absMm: 1e-6, because: 'the same body, clipped by another path' })
      measured++
    }
    expect(measured).toBe(procedure === 'total' ? 6 : 3)
  }
})
