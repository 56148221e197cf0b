import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { halfSpace } from '../../src/geometry/half-space.ts'
import { volume } from '../../src/geometry/measure.ts'
import { flipped, type Plane } from '../../src/geometry/plane.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import { mapPoint, mapVector } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { unit, type Vec3 } from '../../src/geometry/vec.ts'
import { volumeInside } from '../../src/geometry/volume-inside.ts'
import { boneLike, box, randomRigid } from '../fixtures/shapes.ts'
import { positiveSide, type Solid, type SolidLibrary, solidLibrary, solidOf } from '../fixtures/solids.ts'
import { expectNear } from '../near.ts'

const bone = boneLike(20_000, 3)
const tree = buildTree(bone)
const whole = volume(bone)

/** Distal, anterior, posterior and two chamfer cuts around the swollen end, acting below y = 70. */
const block: Plane = { point: [0, 70, 0], normal: [0, -1, 0] }
const facing = (x: number, y: number, z: number, point: Vec3): Plane => ({ point, normal: unit([x, y, z]) })
const fiveCuts = (tilt: number): Plane[] => [
  facing(0.02 + tilt, 1, 0.03, [0, 14, 0]),
  facing(-1, -0.09, tilt, [17, 40, 0]),
  facing(1, 0, 0.05 - tilt, [-16, 40, 0]),
  facing(1, 1, tilt, [-12, 14, 0]),
  facing(-1, 1, -tilt, [13, 14, 0]),
]

describe('the volume inside several half-spaces', () => {
  test('is the whole without planes and the half-space volume with one', () => {
    expectNear(volumeInside(tree, []), whole, { rel: 1e-12, because: 'the same sum' })
    for (const plane of fiveCuts(0.04)) {
      expectNear(volumeInside(tree, [plane]), halfSpace(tree, flipped(plane)).volumeMm3, {
        rel: 1e-11,
        because: 'two identities for one volume',
      })
    }
  })

  test('of a box under axis-aligned planes, given twice and touching its faces, is exact', () => {
    const cube = buildTree(box([0, 0, 0], [10, 20, 30]))
    const above = (axis: number, level: number, sign = 1): Plane => {
      const at = [0, 1, 2].map((k) => (k === axis ? 1 : 0))
      return { point: at.map((v) => v * level) as unknown as Vec3, normal: at.map((v) => v * sign) as unknown as Vec3 }
    }
    const inside = (...planes: Plane[]): number => volumeInside(cube, planes)
    const because = 'rounding of products of small integers'
    expectNear(inside(above(0, 4), above(1, 5), above(2, 10)), 6 * 15 * 20, { rel: 1e-13, because })
    expectNear(inside(above(0, 4), above(0, 4), above(0, 7, -1)), 3 * 20 * 30, { rel: 1e-13, because })
    expectNear(inside(above(0, 0), above(1, 20, -1), above(2, 0)), 6000, { rel: 1e-13, because })
    expectNear(inside(above(0, 10), above(1, 5)), 0, { abs: 1e-10, because })
    expectNear(inside(above(0, 11), above(1, 5)), 0, { abs: 1e-10, because })
    expectNear(inside(above(0, 7), above(0, 4, -1)), 0, { abs: 1e-10, because })
  })

  test('does not depend on the order of the planes', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray(fiveCuts(0.03), { minLength: 5, maxLength: 5 }),
        fc.double({ min: 5, max: 30, noNaN: true }),
        (cuts, y) => {
          const planes = [...cuts, { point: [0, y, 0], normal: unit([0.1, 1, 0.2]) } as Plane]
          expectNear(volumeInside(tree, planes), volumeInside(tree, [...planes].reverse()), {
            abs: 1e-11 * whole,
            because: 'the set is the same',
          })
        },
      ),
      { numRuns: 30 },
    )
  })
})

describe('a series of cuts inside a block', () => {
  test('per-cut volumes add up to the total and a repeated cut removes nothing', () => {
    const cuts = fiveCuts(0.05)
    const { removedMm3, totalMm3 } = convexResection(tree, [...cuts, cuts[1]!], block)
    expect(removedMm3.every((v) => v >= 0)).toBe(true)
    expect(removedMm3.slice(0, 5).every((v) => v > 1)).toBe(true)
    expectNear(removedMm3[5]!, 0, { abs: 1e-11 * whole, because: 'it is already gone' })
    expectNear(
      removedMm3.reduce((a, b) => a + b, 0),
      totalMm3,
      { rel: 1e-12, because: 'a telescoping sum' },
    )
  })

  test('nothing beyond the block is touched', () => {
    const high: Plane = { point: [0, 200, 0], normal: [0, 1, 0] }
    const inBlock = halfSpace(tree, flipped(block)).volumeMm3
    expectNear(convexResection(tree, [high], block).totalMm3, inBlock, {
      rel: 1e-11,
      because: 'the whole block goes, no more',
    })
  })

  test('turning and shifting bone and planes together changes nothing', () => {
    const still = convexResection(tree, fiveCuts(0.05), block)
    for (const seed of [1, 2, 3, 4, 5]) {
      const map = randomRigid(seed)
      const moved = (q: Plane): Plane => ({ point: mapPoint(map, q.point), normal: mapVector(map, q.normal) })
      const turned = convexResection(buildTree(mapMesh(bone, map)), fiveCuts(0.05).map(moved), moved(block))
      turned.removedMm3.forEach((v, k) => {
        expectNear(v, still.removedMm3[k]!, { rel: 1e-9, because: 'coordinates of hundreds of mm round at 1e-13 mm' })
      })
    }
  })

  test('deepening one cut never lessens the total', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4 }),
        fc.double({ min: 0, max: 8, noNaN: true }),
        fc.double({ min: -0.1, max: 0.1, noNaN: true }),
        (which, deeper, tilt) => {
          const cuts = fiveCuts(tilt)
          const before = convexResection(tree, cuts, block).totalMm3
          const q = cuts[which]!
          const point = q.point.map((v, k) => v + deeper * q.normal[k]!) as unknown as Vec3
          cuts[which] = { ...q, point }
          expect(convexResection(tree, cuts, block).totalMm3).toBeGreaterThanOrEqual(before - 1e-11 * whole)
        },
      ),
      { numRuns: 40 },
    )
  })
})

describe('against manifold-3d (general-purpose solid library, npm) on float32-exact coordinates', () => {
  let library: SolidLibrary
  let solid: Solid
  beforeAll(async () => {
    library = await solidLibrary()
    solid = solidOf(library, bone)
  })

  test('one plane: volume within 1e-9', () => {
    expectNear(whole, solid.volume(), { rel: 1e-12, because: 'the same mesh' })
    for (const plane of fiveCuts(0.02)) {
      expectNear(halfSpace(tree, flipped(plane)).volumeMm3, positiveSide(solid, plane).volume(), {
        rel: 1e-9,
        because: 'issue 2; both reckon in double',
      })
    }
  })

  test('five cuts inside a block: every cut and the total within 1e-9', () => {
    const cuts = fiveCuts(0.05)
    const { removedMm3, totalMm3 } = convexResection(tree, cuts, block)
    let left = positiveSide(solid, block)
    cuts.forEach((plane, k) => {
      const next = positiveSide(left, plane)
      expectNear(removedMm3[k]!, left.volume() - next.volume(), {
        rel: 1e-9,
        because: 'issue 3',
      })
      left = next
    })
    expectNear(totalMm3, positiveSide(solid, block).volume() - left.volume(), { rel: 1e-9, because: 'issue 3' })
  })
})
