import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { eigenSymmetric3, fitCircle2d, fitCylinder, fitLine, fitPlane, fitSphere } from '../../src/geometry/fit.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'
import { mapPoint, rotationAbout } from '../../src/geometry/rigid.ts'
import { add, angleBetween, cross, dot, scale, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const coordinate = fc.double({ min: -200, max: 200, noNaN: true })
const direction = fc
  .tuple(coordinate, coordinate, coordinate)
  .filter((v) => Math.hypot(...v) > 1)
  .map((v): Vec3 => unit(v))
const point = fc.tuple(coordinate, coordinate, coordinate)

function ring(axis: Vec3, centre: Vec3, radius: number, from: number, to: number, length: number): Vec3[] {
  const u = unit(cross(axis, Math.abs(axis[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0]))
  const v = cross(axis, u)
  const out: Vec3[] = []
  for (let i = 0; i < 12; i++)
    for (let k = 0; k < 4; k++) {
      const t = from + ((to - from) * i) / 11
      const across = add(scale(u, radius * Math.cos(t)), scale(v, radius * Math.sin(t)))
      out.push(add(add(centre, across), scale(axis, (k / 3 - 0.5) * length)))
    }
  return out
}

describe('eigenvectors of a symmetric matrix', () => {
  it('satisfy A·v = λ·v, are orthonormal and keep the trace', () => {
    const entry = fc.double({ min: -1e3, max: 1e3, noNaN: true })
    fc.assert(
      fc.property(fc.tuple(entry, entry, entry, entry, entry, entry), ([xx, xy, xz, yy, yz, zz]) => {
        const { values, vectors } = eigenSymmetric3({ xx, xy, xz, yy, yz, zz })
        const size = Math.max(1e-300, ...[xx, xy, xz, yy, yz, zz].map(Math.abs))
        expect(values[0] <= values[1] && values[1] <= values[2]).toBe(true)
        expectNear(values[0] + values[1] + values[2], xx + yy + zz, { abs: 1e-12 * size, because: 'rounding' })
        for (let i = 0; i < 3; i++) {
          const v = vectors[i]!
          const av: Vec3 = [
            xx * v[0] + xy * v[1] + xz * v[2],
            xy * v[0] + yy * v[1] + yz * v[2],
            xz * v[0] + yz * v[1] + zz * v[2],
          ]
          for (let k = 0; k < 3; k++) expectNear(av[k]!, values[i]! * v[k]!, { abs: 1e-11 * size, because: 'rounding' })
          for (let j = 0; j < 3; j++)
            expectNear(dot(v, vectors[j]!), i === j ? 1 : 0, { abs: 1e-13, because: 'rounding' })
        }
      }),
    )
  })
})

describe('a sphere fit', () => {
  it('finds an exact sphere from a cap of 60° to 1e-8 of its radius', () => {
    fc.assert(
      fc.property(point, direction, fc.double({ min: 5, max: 60, noNaN: true }), (centre, pole, radius) => {
        const cap = ring(pole, [0, 0, 0], 1, 0, 2 * Math.PI, 0).flatMap((u) =>
          [15, 40, 60].map((deg): Vec3 => {
            const a = toRad(deg)
            return add(centre, scale(add(scale(u, Math.sin(a)), scale(pole, Math.cos(a))), radius))
          }),
        )
        const fit = expectOk(fitSphere(cap))
        for (let k = 0; k < 3; k++)
          expectNear(fit.centre[k]!, centre[k]!, { absMm: 1e-8 * radius + 1e-9, because: 'exact points' })
        expectNear(fit.radiusMm, radius, { rel: 1e-8, because: 'exact points' })
      }),
    )
  })

  it('leaves the points a mean residual of zero, as the least squares of distances must', () => {
    const normal = seededNormal(seededRandom(3))
    const points = ring([0, 0, 1], [100, -50, 700], 23, 0, 2, 30).map(
      (p): Vec3 => [p[0] + 0.3 * normal(), p[1] + 0.3 * normal(), p[2] + 0.3 * normal()],
    )
    const fit = expectOk(fitSphere(points))
    const mean = points.reduce((s, p) => s + Math.hypot(...sub3(p, fit.centre)) - fit.radiusMm, 0) / points.length
    expectNear(mean, 0, { absMm: 1e-10, because: 'stationary in the radius' })
  })

  it('refuses points in a plane', () => {
    expectFailure(fitSphere(ring([0, 0, 1], [1, 2, 3], 20, 0, 6, 0)), 'fit/degenerate')
    expectFailure(fitSphere([]), 'fit/degenerate')
  })
})

describe('a cylinder fit', () => {
  it('finds an exact cylinder from an arc of 100°, whatever its direction', () => {
    fc.assert(
      fc.property(point, direction, fc.double({ min: 10, max: 30, noNaN: true }), (centre, axis, radius) => {
        const fit = expectOk(fitCylinder(ring(axis, centre, radius, 0, toRad(100), 50)))
        expectNear(fit.radiusMm, radius, { rel: 1e-8, because: 'exact points' })
        expectNear(Math.abs(dot(fit.direction, axis)), 1, { abs: 1e-12, because: 'exact points' })
        const off = sub3(fit.point, centre)
        const away = Math.hypot(...cross(off, axis))
        expectNear(away, 0, { absMm: 1e-7, because: 'exact points' })
      }),
      { numRuns: 40 },
    )
  })

  it('refuses points in a plane', () => {
    expectFailure(fitCylinder(ring([0, 0, 1], [1, 2, 3], 20, 0, 6, 0)), 'fit/degenerate')
  })
})

describe('a plane, line or circle fit', () => {
  it('turns with the points', () => {
    const normal = seededNormal(seededRandom(7))
    const points = Array.from({ length: 40 }, (): Vec3 => [30 * normal(), 12 * normal(), 2 * normal()])
    fc.assert(
      fc.property(direction, fc.double({ min: -3, max: 3, noNaN: true }), point, (axis, angle, shift) => {
        const f = { rotation: rotationAbout(axis, angle), translation: shift }
        const moved = points.map((p) => mapPoint(f, p))
        const plane = expectOk(fitPlane(points))
        const planeMoved = expectOk(fitPlane(moved))
        const turned = mapPoint({ rotation: f.rotation, translation: [0, 0, 0] }, plane.normal)
        expectNear(Math.abs(dot(turned, planeMoved.normal)), 1, { abs: 1e-12, because: 'rounding' })
        expectNear(planeMoved.rmsMm, plane.rmsMm, { absMm: 1e-9, because: 'rounding' })
        const line = expectOk(fitLine(points))
        const lineMoved = expectOk(fitLine(moved))
        const lineTurned = mapPoint({ rotation: f.rotation, translation: [0, 0, 0] }, line.direction)
        expectNear(Math.sin(angleBetween(lineTurned, lineMoved.direction)), 0, { abs: 1e-11, because: 'rounding' })
      }),
    )
  })

  it('is refused where the points do not name one', () => {
    expectFailure(
      fitPlane([
        [0, 0, 0],
        [1, 1, 1],
        [2, 2, 2],
      ]),
      'fit/degenerate',
    )
    expectFailure(
      fitLine([
        [1, 2, 3],
        [1, 2, 3],
      ]),
      'fit/degenerate',
    )
    expectFailure(
      fitCircle2d([
        [0, 0],
        [1, 1],
        [2, 2],
      ]),
      'fit/degenerate',
    )
    expectFailure(
      fitPlane([
        [Number.NaN, 0, 0],
        [1, 0, 0],
        [0, 1, 0],
      ]),
      'fit/degenerate',
    )
  })
})

const sub3 = (a: Vec3, b: Vec3): [number, number, number] => [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
