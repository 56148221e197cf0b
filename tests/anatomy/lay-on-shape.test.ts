import { expect, test } from 'vitest'
import { layOnShape, referenceLines } from '../../src/anatomy/lay-on-shape.ts'
import type { Landmark, Landmarks } from '../../src/anatomy/terms.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const landmark = (mm: Vec3): Landmark => ({
  mm,
  confidence: 1,
  residualMm: null,
  sdMm: null,
  source: 'found',
  reason: null,
})
const landmarks: Landmarks = { epicondyleMedial: landmark([1, 2, -40]), epicondyleLateral: landmark([-3, 4, 38]) }

test('the ends of a reference line come to lie on the axis, each opposite where it was', () => {
  const axis = { kind: 'cylinder', point: [5, 5, 7], direction: [0, 0, 1] } as const
  const laid = expectOk(layOnShape(landmarks, referenceLines.epicondyles, axis))
  expect(laid.epicondyleMedial).toEqual({ mm: [5, 5, -40], source: 'set' })
  expect(laid.epicondyleLateral).toEqual({ mm: [5, 5, 38], source: 'set' })
})

test('on a plane they are dropped along its normal', () => {
  const plane = { kind: 'plane', point: [0, 9, 0], direction: [0, 1, 0] } as const
  const laid = expectOk(layOnShape(landmarks, referenceLines.epicondyles, plane))
  expectNear(laid.epicondyleMedial!.mm[1], 9, { absMm: 1e-12, because: 'rounding' })
  expect(laid.epicondyleLateral!.mm[2]).toBe(38)
})

test('a sphere, an axis across the line and a missing end lay nothing', () => {
  const across = { kind: 'line', point: [0, 0, 0], direction: [1, 0, 0] } as const
  const sphere = { kind: 'sphere', point: [0, 0, 0], direction: null } as const
  expectFailure(layOnShape(landmarks, referenceLines.epicondyles, across), 'fit/degenerate')
  expectFailure(layOnShape(landmarks, referenceLines.epicondyles, sphere), 'fit/degenerate')
  expectFailure(layOnShape(landmarks, referenceLines.plateaus, across), 'landmark/missing')
})
