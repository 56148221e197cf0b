import { describe, expect, it } from 'vitest'
import { capFloor } from '../../src/anatomy/cap.ts'
import { saddleNear } from '../../src/anatomy/saddle.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'
import { expectNear } from '../near.ts'
import { graph } from './graph.ts'

const look = { capMm: 3, lookMm: 9, from: Number.NaN }

/** Depths and areas of a surface of revolution about its apex, on rings 0.05 mm apart; the apex at depth 0. */
function dome(depthAt: (r: number) => number, reach = 40) {
  const rings = reach / 0.05
  const depth = Float64Array.from({ length: rings }, (_, k) => depthAt((k + 0.5) * 0.05))
  const weight = Float64Array.from({ length: rings }, (_, k) => 2 * Math.PI * (k + 0.5) * 0.05 ** 2)
  return { depth, weight }
}

describe('the top of a surface told by its cap', () => {
  it.each([8, 20, 60])('is the apex of a paraboloid of %i mm, which has its floor 3 mm below', (radius) => {
    const { depth, weight } = dome((r) => (r * r) / (2 * radius))
    expectNear(capFloor(depth, weight, depth.length, look) - 3, 0, { absMm: 1e-3, because: 'rings are 0.05 mm wide' })
  })

  it('of a sphere of 22 mm lies less than 0.1 mm from its pole', () => {
    const { depth, weight } = dome((r) => 22 - Math.sqrt(484 - r * r), 21.9)
    expectNear(capFloor(depth, weight, depth.length, look) - 3, 0, {
      absMm: 0.1,
      because: 'a sphere falls off faster than its paraboloid: depth²/(12 R) of 3 mm is 0.03 mm, to first order',
    })
  })

  it('does not follow one spike of 1.5 mm', () => {
    const { depth, weight } = dome((r) => (r * r) / 44)
    // From two thirds of the cap's depth on, a spike that stands out alone would be a cap of its own.
    depth[0] = -1.5
    expectNear(capFloor(depth, weight, depth.length, look) - 3, 0, { absMm: 0.01, because: 'its area is 0.01 mm²' })
  })

  it('moves less than noise does, where an extreme stands out by two standard deviations and more', () => {
    const { depth, weight } = dome((r) => (r * r) / 44, 20)
    const normal = seededNormal(seededRandom(3))
    const rough = depth.map((d) => d + 0.3 * normal())
    expect(Math.min(...rough)).toBeLessThan(-0.5)
    expectNear(capFloor(rough, weight, rough.length, look) - 3, 0, {
      absMm: 0.1,
      because: 'noise of 0.3 mm deepens the cap by σ²/depth = 0.03 mm, and its mean errs as much again',
    })
  })

  it('of nothing is nowhere', () => {
    expect(capFloor(new Float64Array(0), new Float64Array(0), 0, look)).toBe(Number.POSITIVE_INFINITY)
  })
})

describe('a saddle told by the quadratic about it', () => {
  const saddle = (x: number, z: number) => ((x - 0.4) ** 2 - (z - 0.3) ** 2) / 30

  it.each([1, 2.5, 4])('lies where it is on a mesh of %f mm', (step) => {
    const found = saddleNear(graph(saddle, 20, step), [1, 0, 1], 8)!
    expectNear(found.x, 0.4, {
      absMm: 0.15,
      because: 'chords lie up to step²/60 off, and the jitter makes them uneven',
    })
    expectNear(found.crestAt(found.x)[2], 0.3, { absMm: 0.15, because: 'the same' })
  })

  it('is none on a dome', () => {
    expect(
      saddleNear(
        graph((x, z) => -(x * x + z * z) / 40, 20, 1),
        [1, 0, 1],
        8,
      ),
    ).toBeNull()
  })
})
