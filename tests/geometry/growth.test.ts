import { expect, test } from 'vitest'
import type { Effort } from '../../src/geometry/half-space.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, randomDirection } from '../fixtures/shapes.ts'

const facing = (n: Vec3, point: Vec3): Plane => ({ point, normal: unit(n) })
const planes = Array.from({ length: 24 }, (_, k): Plane => ({ point: [2, 12 + 16 * k, 1], normal: randomDirection(k) }))
const block = facing([0, -1, 0], [0, 70, 0])
const fiveCuts = [
  facing([0.07, 1, 0.03], [0, 14, 0]),
  facing([-1, -0.09, 0.05], [17, 40, 0]),
  facing([1, 0, 0.02], [-16, 40, 0]),
  facing([1, 1, 0.05], [-12, 14, 0]),
  facing([-1, 1, -0.05], [13, 14, 0]),
]

/**
 * Crossed triangles and visited nodes of queries on bone-like meshes of 20 thousand and of 2 million triangles.
 * Counted, not timed; in five cuts every region is walked by itself, and whatever it meets counts again.
 */
const efforts = [20_000, 200_000, 2_000_000].map((triangles) => {
  const tree = buildTree(boneLike(triangles, 1))
  const one: Effort = { visitedNodes: 0, crossedTriangles: 0 }
  for (const plane of planes) halfSpace(tree, plane, one)
  const five: Effort = { visitedNodes: 0, crossedTriangles: 0 }
  convexResection(tree, fiveCuts, block, five)
  return { triangles: tree.mesh.triangles.length / 3, one, five }
})

const all = (e: Effort): number => e.visitedNodes + e.crossedTriangles
const crossed = (e: Effort): number => e.crossedTriangles

/** Exponent of the work's growth from 20 thousand to 2 million triangles. */
const exponent = (kind: 'one' | 'five', of = all): number => {
  const small = efforts[0]!
  const large = efforts[2]!
  return Math.log(of(large[kind]) / of(small[kind])) / Math.log(large.triangles / small.triangles)
}

test('one plane crosses triangles in number no faster than the square root of the mesh', () => {
  expect(exponent('one', crossed)).toBeLessThanOrEqual(0.5)
})

test('crossed triangles and visited nodes of one plane together grow no faster than the square root', () => {
  expect(exponent('one')).toBeLessThanOrEqual(0.5)
  for (const { triangles, one } of efforts) {
    expect(all(one) / planes.length / Math.sqrt(triangles)).toBeLessThan(3.9)
    expect(one.visitedNodes).toBeLessThan(1.5 * one.crossedTriangles)
  }
})

test('nor do those of five cuts in a block', () => {
  expect(exponent('five')).toBeLessThanOrEqual(0.5)
  for (const { triangles, five } of efforts) expect(all(five) / Math.sqrt(triangles)).toBeLessThan(11.5)
})

test('one plane through two million triangles touches fewer than one in three hundred', () => {
  const { triangles, one } = efforts[2]!
  expect(all(one) / planes.length / triangles).toBeLessThan(1 / 300)
})
