import { describe, it } from 'vitest'
import { fitCircle2d, fitCylinder, fitPlane, fitSphere, type Vec2 } from '../../src/geometry/fit.ts'
import { fitShape } from '../../src/geometry/fit-shape.ts'
import { dot, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'

describe('published and certified least-squares fits', () => {
  it('finds the circle of Gander, Golub & Strebel, BIT 1994;34:558', () => {
    const points: Vec2[] = [
      [1, 7],
      [2, 6],
      [5, 8],
      [7, 7],
      [9, 5],
      [3, 7],
    ]
    const fit = expectOk(fitCircle2d(points))
    const because = 'the paper prints 4.7398, 2.9835, 4.7142; further digits by 40-digit Newton, check values §9.3'
    expectNear(fit.centre[0], 4.739782410906, { absMm: 1e-10, because })
    expectNear(fit.centre[1], 2.983532699293, { absMm: 1e-10, because })
    expectNear(fit.radiusMm, 4.714226037792, { absMm: 1e-10, because })
    const byHand = expectOk(
      fitShape(
        'circle',
        points.map(([x, y]): Vec3 => [x, 12, y]),
        {},
      ),
    )
    expectNear(byHand.radiusMm!, 4.714226037792, { absMm: 1e-8, because: `as a painted patch; ${because}` })
    expectNear(byHand.point[2], 2.983532699293, { absMm: 1e-7, because: `as a painted patch; ${because}` })
  })

  const because = 'certified by 40-digit Newton iteration, check values §9.3'

  it('finds the certified sphere', () => {
    const points: Vec3[] = [
      [12.12, -5, 54.21],
      [21.9, -5, 50.61],
      [10, 7.05, 50.87],
      [-1.8, -5, 50.44],
      [10, -17.12, 51],
      [24.61, 9.61, 41.93],
      [-4.91, 9.91, 42.18],
      [-4.51, -19.51, 41.85],
      [24.73, -19.73, 42.03],
      [33.02, -0.94, 36.26],
    ]
    const fit = expectOk(fitSphere(points))
    const expected = [10.070656735936, -4.88806019691, 30.012502447245]
    for (let k = 0; k < 3; k++) expectNear(fit.centre[k]!, expected[k]!, { absMm: 1e-9, because })
    expectNear(fit.radiusMm, 24.003505088639, { absMm: 1e-9, because })
    expectNear(expectOk(fitShape('sphere', points, {})).radiusMm!, 24.003505088639, { absMm: 1e-9, because })
    expectNear(fit.rmsMm, 0.243767082252, { absMm: 1e-10, because })
  })

  it('finds the certified plane', () => {
    const points: Vec3[] = [
      [0, 0, 0.1],
      [40, 0, -0.1],
      [0, 30, 0.2],
      [40, 30, 0.05],
      [20, 15, -0.15],
      [10, 25, 0],
    ]
    const fit = expectOk(fitPlane(points))
    const sign = fit.normal[2] > 0 ? 1 : -1
    const expected = [0.003895394578, -0.00331405307, 0.999986921391]
    for (let k = 0; k < 3; k++) expectNear(sign * fit.normal[k]!, expected[k]!, { abs: 1e-11, because })
    expectNear(fit.point[0], 18.333333333333, { absMm: 1e-11, because })
    expectNear(fit.rmsMm, 0.086447424708, { absMm: 1e-11, because })
    expectNear(expectOk(fitShape('plane', points, {})).rmsMm, 0.086447424708, { absMm: 1e-11, because })
  })

  it('finds the certified cylinder with no hint of its direction', () => {
    const points: Vec3[] = [
      [-19.64, -6.37, -25],
      [-7.54, -18.15, -25],
      [9.35, -16.99, -25],
      [-19.35, -6.42, -20],
      [-7.41, -18.3, -20],
      [9.48, -17.05, -20],
      [-18.01, -7.17, 20],
      [-6.26, -19.24, 20],
      [10.66, -17.82, 20],
      [-17.97, -7.31, 25],
      [-6.11, -19.36, 25],
      [10.7, -17.73, 25],
    ]
    const fit = expectOk(fitCylinder(points))
    const axis: Vec3 = [0.029903348385, -0.019493814185, 0.999362687398]
    expectNear(Math.abs(dot(fit.direction, axis)), 1, { abs: 1e-12, because })
    const t = -fit.point[2] / fit.direction[2]
    expectNear(fit.point[0] + t * fit.direction[0], 0.128744419362, { absMm: 1e-7, because })
    expectNear(fit.point[1] + t * fit.direction[1], 0.08354964038, { absMm: 1e-7, because })
    expectNear(fit.radiusMm, 20.088958575732, { absMm: 1e-8, because })
    expectNear(expectOk(fitShape('cylinder', points, {})).radiusMm!, 20.088958575732, { absMm: 1e-8, because })
    expectNear(fit.rmsMm, 0.105348911508, { absMm: 1e-9, because })
  })
})
