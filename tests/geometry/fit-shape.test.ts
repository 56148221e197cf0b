import fc from 'fast-check'
import { expect, test } from 'vitest'
import { distanceToShape, fitShape, shapeKinds } from '../../src/geometry/fit-shape.ts'
import { addScaled, cross, dot, length, reject, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const coordinate = fc.double({ min: -80, max: 80, noNaN: true })
const place = fc.tuple(coordinate, coordinate, coordinate)
const direction = place.filter((v) => length(v) > 1).map((v) => unit(v))

/** Points of the shape itself in a fixed pattern, as formulas give them. */
function pointsOn(kind: (typeof shapeKinds)[number], at: Vec3, n: Vec3, radius: number): Vec3[] {
  const u = unit(cross(n, Math.abs(n[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0]))
  const v = cross(n, u)
  return Array.from({ length: 60 }, (_, i) => {
    const turn = 0.7 * i
    const across = (r: number) => addScaled(addScaled(at, u, r * Math.cos(turn)), v, r * Math.sin(turn))
    const along = ((i % 12) - 5.5) * 3
    if (kind === 'plane') return across(2 + (i % 7) * 4)
    if (kind === 'line') return addScaled(at, n, along + 0.1 * i)
    if (kind === 'circle') return across(radius)
    if (kind === 'cylinder') return addScaled(across(radius), n, along)
    const tilt = 0.2 + 0.04 * i
    return addScaled(across(radius * Math.sin(tilt)), n, radius * Math.cos(tilt))
  })
}

test('every shape is found again wherever it lies, with a fifth of the points torn off it', () => {
  for (const kind of shapeKinds)
    fc.assert(
      fc.property(place, direction, fc.double({ min: 12, max: 40, noNaN: true }), (at, n, radius) => {
        const clean = pointsOn(kind, at, n, radius)
        const torn = clean.map((p, i) => (i % 5 === 0 ? addScaled(p, unit([3, 1, (i % 3) - 1]), 9 + (i % 4)) : p))
        const fit = expectOk(fitShape(kind, torn, { rejectBeyondSd: 3 }))
        const off = Math.max(...clean.filter((_, i) => i % 5 !== 0).map((p) => Math.abs(distanceToShape(fit, p))))
        expectNear(off, 0, { absMm: 0.06, because: 'points closer than 0.05 mm are never outliers' })
        expect(fit.rejected).toBeLessThanOrEqual(12)
        expect(fit.kept + fit.rejected).toBe(60)
      }),
      { numRuns: 12 },
    )
})

test('left alone, outliers pull the fit; nothing is rejected unless it is asked for', () => {
  const torn = pointsOn('plane', [0, 0, 0], [0, 0, 1], 10).map((p, i): Vec3 => (i === 3 ? [p[0], p[1], 30] : p))
  const pulled = expectOk(fitShape('plane', torn, {}))
  expect(pulled.rejected).toBe(0)
  expect(pulled.limitMm).toBe(null)
  expect(pulled.rmsMm).toBeGreaterThan(2)
  const calm = expectOk(fitShape('plane', torn, { rejectBeyondSd: 3 }))
  expect(calm.rejected).toBe(1)
  expect(Math.abs(calm.direction![2])).toBeGreaterThan(1 - 1e-12)
})

test('distances are those of the formulas, outside positive', () => {
  const sphere = { kind: 'sphere', point: [1, 2, 3], direction: null, radiusMm: 5 } as const
  expectNear(distanceToShape(sphere, [1, 2, 10]), 2, { absMm: 1e-12, because: 'rounding' })
  const circle = { kind: 'circle', point: [0, 0, 0], direction: [0, 0, 1], radiusMm: 5 } as const
  expectNear(distanceToShape(circle, [8, 0, 4]), 5, { absMm: 1e-12, because: 'a 3-4-5 triangle' })
  const axis: Vec3 = unit([1, 1, 0])
  const cylinder = { kind: 'cylinder', point: [0, 0, 0], direction: axis, radiusMm: 2 } as const
  const p: Vec3 = [4, -1, 6]
  expectNear(distanceToShape(cylinder, p), length(reject(p, axis)) - 2, { absMm: 1e-12, because: 'rounding' })
  expect(dot(sub(p, [0, 0, 0]), axis)).toBeGreaterThan(0)
})

test('too few points name no shape', () => {
  expectFailure(
    fitShape(
      'plane',
      [
        [0, 0, 0],
        [1, 0, 0],
      ],
      {},
    ),
    'fit/degenerate',
  )
  expectFailure(fitShape('sphere', [], { rejectBeyondSd: 3 }), 'fit/degenerate')
})
