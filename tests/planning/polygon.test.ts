import Module from 'manifold-3d'
import { beforeAll, expect, test } from 'vitest'
import { seededRandom } from '../../src/geometry/random.ts'
import { distanceOutside, farthestOutside, type Outline, overlapArea, signedArea } from '../../src/planning/polygon.ts'
import { expectNear } from '../near.ts'

const square: Outline = [
  [0, 0],
  [10, 0],
  [10, 10],
  [0, 10],
]

test('distance outside is negative inside and to the nearest edge or corner', () => {
  const exact = { absMm: 1e-12, because: 'a square' }
  expectNear(distanceOutside(square, 5, 4), -4, exact)
  expectNear(distanceOutside(square, 13, 14), 5, exact)
  expectNear(distanceOutside(square, 5, -2), 2, exact)
  expectNear(farthestOutside(square, square, 3, 0), 3, exact)
  expect(distanceOutside([], 0, 0)).toBe(Number.POSITIVE_INFINITY)
})

test('area keeps the sense of turning', () => {
  expect(signedArea(square)).toBe(100)
  expect(signedArea([...square].reverse())).toBe(-100)
})

let kernel: Awaited<ReturnType<typeof Module>>
beforeAll(async () => {
  kernel = await Module()
  kernel.setup()
})

test('the overlap of two wavy outlines agrees with manifold-3d', () => {
  const random = seededRandom(5)
  const blob = (cx: number, cy: number, r: number): Outline => {
    const phases = [random() * 6, random() * 6]
    return Array.from({ length: 160 }, (_, i) => {
      const a = (2 * Math.PI * i) / 160
      const q = r * (1 + 0.15 * Math.sin(3 * a + phases[0]!) + 0.1 * Math.sin(5 * a + phases[1]!))
      return [cx + 1.4 * q * Math.cos(a), cy + q * Math.sin(a)] as const
    })
  }
  for (let i = 0; i < 12; i++) {
    const a = blob(0, 0, 25)
    const b = blob(8 * random(), 8 * random(), 22 + 6 * random())
    const section = (o: Outline) => new kernel.CrossSection(o.map(([x, y]): [number, number] => [x, y]))
    const oracle = section(a).intersect(section(b)).area()
    expectNear(overlapArea([a], [b]), oracle, { rel: 2e-4, because: 'strips of about 0.1 mm, midpoint rule' })
  }
})

test('a hole is not covered', () => {
  const hole: Outline = [
    [4, 4],
    [6, 4],
    [6, 6],
    [4, 6],
  ]
  expectNear(overlapArea([square], [square, hole]), 96, { rel: 1e-3, because: 'strips of 10/600 mm' })
})
