import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Side } from '../../src/anatomy/terms.ts'
import { angleBetween, dot, toDeg, type Vec3 } from '../../src/geometry/vec.ts'
import {
  externalRotationOf,
  femoralAngles,
  femoralDistalNormal,
  femoralPosteriorNormal,
  tibialAngles,
  tibialNormal,
} from '../../src/planning/cut-normals.ts'
import { legAxes } from '../../src/planning/leg-axes.ts'
import { expectNear } from '../near.ts'

const axesOf = (side: Side) => legAxes({ origin: [0, 0, 0], x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] }, side)
const angle = fc.double({ min: -20, max: 20, noNaN: true })
const sides: readonly Side[] = ['right', 'left']

describe('the tibial cut', () => {
  // Check values §1.5, projected definition (computed there): slope, varus → total tilt.
  test.each([
    [7, 3, 7.604104],
    [3, 3, 4.238772],
    [10, 5, 11.135664],
    [7, -2, 7.274683],
  ])('with slope %d and varus %d is tilted %d in all', (slope, varus, tilt) => {
    for (const side of sides) {
      const n = tibialNormal(axesOf(side), varus, slope)
      expectNear(toDeg(angleBetween(n, [0, -1, 0])), tilt, { absDeg: 1e-5, because: 'printed to six decimals' })
    }
  })

  test('has the normal of the conventions, turned into the kept bone', () => {
    const [p, v] = [Math.tan((7 * Math.PI) / 180), Math.tan((3 * Math.PI) / 180)]
    const l = Math.hypot(p, 1, v)
    const right = tibialNormal(axesOf('right'), 3, 7)
    const left = tibialNormal(axesOf('left'), 3, 7)
    const expected: Record<Side, Vec3> = { right: [p / l, -1 / l, v / l], left: [p / l, -1 / l, -v / l] }
    for (const k of [0, 1, 2] as const) {
      expectNear(right[k], expected.right[k], { abs: 1e-15, because: 'one formula' })
      expectNear(left[k], expected.left[k], { abs: 1e-15, because: 'one formula' })
    }
  })

  test('gives its angles back', () => {
    fc.assert(
      fc.property(angle, angle, fc.constantFrom(...sides), (varus, slope, side) => {
        const back = tibialAngles(axesOf(side), tibialNormal(axesOf(side), varus, slope))
        expectNear(back.varusDeg, varus, { absDeg: 1e-12, because: 'rounding of tan and atan' })
        expectNear(back.slopeDeg, slope, { absDeg: 1e-12, because: 'rounding of tan and atan' })
      }),
    )
  })

  test('in varus takes more medially, with slope more posteriorly', () => {
    for (const side of sides) {
      const axes = axesOf(side)
      const keeps = (n: Vec3, p: Vec3) => dot(n, p) > 0
      const medial: Vec3 = [-30 * axes.lateral[0], -30 * axes.lateral[1], -30 * axes.lateral[2]]
      expect(keeps(tibialNormal(axes, 3, 0), medial)).toBe(false)
      expect(keeps(tibialNormal(axes, 0, 7), [-20, 0, 0])).toBe(false)
    }
  })
})

describe('the femoral cuts', () => {
  test('give valgus, flexion and external rotation back and stand square to each other', () => {
    const line = fc.tuple(angle, angle)
    fc.assert(
      fc.property(angle, angle, angle, line, fc.constantFrom(...sides), (valgus, flexion, rotation, [a, p], side) => {
        const axes = axesOf(side)
        const condylarLine: Vec3 = [Math.tan((a * Math.PI) / 180), Math.tan((p * Math.PI) / 180), axes.lateral[2]]
        const distal = femoralDistalNormal(axes, valgus, flexion)
        const posterior = femoralPosteriorNormal(axes, condylarLine, distal, rotation)
        const back = femoralAngles(axes, distal)
        const close = { absDeg: 1e-11, because: 'rounding of tan and atan' }
        expectNear(back.valgusDeg, valgus, close)
        expectNear(back.flexionDeg, flexion, close)
        expectNear(externalRotationOf(axes, condylarLine, posterior), rotation, close)
        expectNear(dot(distal, posterior), 0, { abs: 1e-15, because: 'square by construction' })
      }),
    )
  })

  test('valgus takes more laterally, flexion lowers the anterior edge, external rotation takes more posteromedially', () => {
    for (const side of sides) {
      const axes = axesOf(side)
      const l = axes.lateral[2]
      const medial: Vec3 = [0, 0, -25 * l]
      const removed = (n: Vec3, p: Vec3) => dot(n, p) < 0
      expect(removed(femoralDistalNormal(axes, 3, 0), [0, 0, 25 * l])).toBe(true)
      expect(removed(femoralDistalNormal(axes, 3, 0), medial)).toBe(false)
      expect(removed(femoralDistalNormal(axes, 0, 5), [-20, 0, 0])).toBe(true)
      const posterior = femoralPosteriorNormal(axes, [0, 0, l], [0, 1, 0], 3)
      expect(removed(posterior, medial)).toBe(true)
      expect(removed(posterior, [0, 0, 25 * l])).toBe(false)
    }
  })
})
