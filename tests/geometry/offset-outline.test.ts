import { expect, test } from 'vitest'
import { offsetOutline } from '../../src/geometry/offset-outline.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { planeBasis } from '../../src/geometry/plane-basis.ts'
import { loopMeasures } from '../../src/geometry/section.ts'
import { addScaled, distance, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'

const plane: Plane = { point: [10, -20, 30], normal: unit([0.2, 0.5, 1]) }
const [u, v] = planeBasis(plane.normal)
const at = (a: number, b: number): Vec3 => addScaled(addScaled(plane.point, u, a), v, b)
const circle = (r: number, sides: number, turn: 1 | -1 = 1): Vec3[] =>
  Array.from({ length: sides }, (_, k) =>
    at(r * Math.cos((2 * Math.PI * k) / sides), turn * r * Math.sin((2 * Math.PI * k) / sides)),
  )
const rectangle = (a: number, b: number): Vec3[] => [at(0, 0), at(a, 0), at(a, b), at(0, b)]
const areaOf = (loops: readonly (readonly Vec3[])[]): number => loopMeasures(loops, plane).areaMm2

test('a circle grows and shrinks to a circle about the same centre', () => {
  for (const mm of [-8, -2, 0, 1.5, 6]) {
    const [loop] = offsetOutline([circle(25, 720)], plane, mm)
    for (const p of loop!)
      expectNear(distance(p, plane.point), 25 + mm, { absMm: 2e-3, because: 'pitch²/8R and a polygon of 720 sides' })
  }
})

test('a rectangle grows by its border times the distance and a circle for its corners, and shrinks to a rectangle', () => {
  const outward = areaOf(offsetOutline([rectangle(40, 30)], plane, 3))
  expectNear(outward, 1200 + 140 * 3 + Math.PI * 9, { rel: 1e-4, because: 'corners of a quarter-mm grid' })
  const inward = areaOf(offsetOutline([rectangle(40, 30)], plane, -3))
  expectNear(inward, 34 * 24, { rel: 1e-4, because: 'sharp corners are cut by a grid cell' })
})

test('a hole shrinks as its surroundings grow, and closes', () => {
  const ring = [circle(25, 720), circle(4, 360, -1)]
  expectNear(areaOf(ring), Math.PI * (625 - 16), { rel: 1e-3, because: 'polygons' })
  const wider = offsetOutline(ring, plane, 1)
  expect(wider.length).toBe(2)
  expectNear(areaOf(wider), Math.PI * (26 ** 2 - 9), { rel: 1e-3, because: 'polygons on a quarter-mm grid' })
  expect(offsetOutline(ring, plane, 5).length).toBe(1)
})

test('what is thinner than twice the distance vanishes, and neighbours grow together', () => {
  expect(offsetOutline([circle(5, 90)], plane, -6)).toEqual([])
  const two = [rectangle(10, 10), rectangle(10, 10).map((p) => addScaled(p, u, 14))]
  expect(offsetOutline(two, plane, 1).length).toBe(2)
  expect(offsetOutline(two, plane, 3).length).toBe(1)
  expect(offsetOutline([], plane, 3)).toEqual([])
})
