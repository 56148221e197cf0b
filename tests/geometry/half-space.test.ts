import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import { isClosed } from '../../src/geometry/closed.ts'
import { halfSpace, halfSpaceByFullPass } from '../../src/geometry/half-space.ts'
import { area, volume } from '../../src/geometry/measure.ts'
import { flipped, offsetPlane, type Plane } from '../../src/geometry/plane.ts'
import { mapPoint, mapVector } from '../../src/geometry/rigid.ts'
import { section } from '../../src/geometry/section.ts'
import { flipWinding, mapMesh, scaleMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { addScaled, scale } from '../../src/geometry/vec.ts'
import { boneLike, randomDirection, randomRigid } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

const bone = boneLike(20_000, 7)
const tree = buildTree(bone)
const whole = volume(bone)
const surface = area(bone)
const cut = (seed: number, along: number): Plane => ({ point: [2, along, 1], normal: randomDirection(seed) })
const anyPlane = fc.tuple(fc.integer(), fc.double({ min: -20, max: 420, noNaN: true })).map(([s, y]) => cut(s, y))

describe('a half-space query on a bone-like mesh', () => {
  test('the fixture is closed and wound outward', () => {
    expect(isClosed(bone)).toBe(true)
    expect(whole).toBeGreaterThan(0)
  })

  test('equals one pass over all triangles', () => {
    fc.assert(
      fc.property(anyPlane, (plane) => {
        const fast = halfSpace(tree, plane)
        const slow = halfSpaceByFullPass(bone, plane)
        expectNear(fast.volumeMm3, slow.volumeMm3, { abs: 1e-12 * whole, because: 'the same sums in another order' })
        expectNear(fast.areaMm2, slow.areaMm2, { abs: 1e-12 * surface, because: 'the same sums in another order' })
      }),
    )
  })

  test('removed and kept, by the flipped query and by the capped meshes, add up to the whole', () => {
    fc.assert(
      fc.property(anyPlane, (plane) => {
        const removed = halfSpace(tree, plane).volumeMm3
        const kept = halfSpace(tree, flipped(plane)).volumeMm3
        expectNear(removed + kept, whole, { rel: 1e-9, because: 'nothing is lost' })
        const parts = expectOk(clip(bone, plane))
        expectNear(volume(parts.removed), removed, { abs: 1e-9 * whole, because: 'the capped solid is the same solid' })
        expectNear(volume(parts.kept), kept, { abs: 1e-9 * whole, because: 'the capped solid is the same solid' })
        for (const part of [parts.kept, parts.removed]) if (part.triangles.length > 0) expect(isClosed(part)).toBe(true)
        const cutFace = section(tree, plane)
        expectNear(cutFace.areaMm2, halfSpace(tree, plane).areaMm2, {
          abs: 1e-8,
          because: 'outline and flux give one area',
        })
      }),
    )
  })

  test('turning and shifting bone and plane together changes nothing', () => {
    fc.assert(
      fc.property(anyPlane, fc.integer(), (plane, seed) => {
        const map = randomRigid(seed)
        const there = buildTree(mapMesh(bone, map))
        const moved = { point: mapPoint(map, plane.point), normal: mapVector(map, plane.normal) }
        expectNear(halfSpace(there, moved).volumeMm3, halfSpace(tree, plane).volumeMm3, {
          abs: 1e-9 * whole,
          because: 'issue 2: rigid motion',
        })
      }),
      { numRuns: 20 },
    )
  })

  test('scaling by k scales volume by k³ and area by k²', () => {
    fc.assert(
      fc.property(anyPlane, fc.double({ min: 0.01, max: 1000, noNaN: true }), (plane, k) => {
        const scaled = halfSpace(buildTree(scaleMesh(bone, k)), { point: scale(plane.point, k), normal: plane.normal })
        const plain = halfSpace(tree, plane)
        expectNear(scaled.volumeMm3 / k ** 3, plain.volumeMm3, {
          abs: 1e-11 * whole,
          because: 'rounding of coordinates',
        })
        expectNear(scaled.areaMm2 / k ** 2, plain.areaMm2, { abs: 1e-8, because: 'rounding of coordinates' })
      }),
      { numRuns: 20 },
    )
  })

  test('winding turned over flips the sign', () => {
    const inside = buildTree({ positions: bone.positions, triangles: flipWinding(bone.triangles) })
    fc.assert(
      fc.property(anyPlane, (plane) => {
        const because = 'the same sums with the other sign'
        expectNear(halfSpace(inside, plane).volumeMm3, -halfSpace(tree, plane).volumeMm3, {
          abs: 1e-12 * whole,
          because,
        })
        expectNear(halfSpace(inside, plane).areaMm2, -halfSpace(tree, plane).areaMm2, { abs: 1e-10, because })
      }),
    )
  })

  test('a deeper cut never removes less', () => {
    fc.assert(
      fc.property(anyPlane, fc.double({ min: 0, max: 50, noNaN: true }), (plane, mm) => {
        const shallow = halfSpace(tree, plane).volumeMm3
        expect(halfSpace(tree, offsetPlane(plane, mm)).volumeMm3).toBeGreaterThanOrEqual(shallow - 1e-12 * whole)
      }),
    )
  })

  test('a plane that misses removes all or nothing, and an empty tree nothing', () => {
    expect(halfSpace(tree, { point: [0, -50, 0], normal: [0, 1, 0] })).toEqual({ volumeMm3: 0, areaMm2: 0 })
    const all = halfSpace(tree, { point: [0, 500, 0], normal: [0, 1, 0] })
    expectNear(all.volumeMm3, whole, { rel: 1e-12, because: 'the whole' })
    expectNear(all.areaMm2, 0, { abs: 1e-9, because: 'the area vectors of a closed mesh cancel' })
    const none = buildTree({ positions: new Float64Array(), triangles: new Uint32Array() })
    expect(halfSpace(none, { point: [0, 0, 0], normal: [0, 1, 0] })).toEqual({ volumeMm3: 0, areaMm2: 0 })
  })

  test('keeps its digits far from the origin', () => {
    const far = mapMesh(bone, { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [20_000, -15_000, 8_000] })
    const plane = cut(9, 200)
    const there = { point: addScaled(plane.point, [20_000, -15_000, 8_000], 1), normal: plane.normal }
    expectNear(halfSpace(buildTree(far), there).volumeMm3, halfSpace(tree, plane).volumeMm3, {
      rel: 1e-9,
      because: 'coordinates of 20 m round at 4e-12 mm',
    })
  })
})

test('a thousand triangles that no split can part still give the volume of the full pass', () => {
  // All share one centroid, so the tree keeps them in one leaf, larger than a block can be.
  const spokes = 1000
  const positions = new Float64Array(9 * spokes)
  const triangles = Uint32Array.from({ length: 3 * spokes }, (_, k) => k)
  for (let k = 0; k < spokes; k++) {
    for (let corner = 0; corner < 3; corner++) {
      const turn = (2 * Math.PI * (k / spokes + corner)) / 3
      positions.set([10 * Math.cos(turn), 10 * Math.sin(turn), 0], 9 * k + 3 * corner)
    }
  }
  const mesh = { positions, triangles }
  const because = 'two orders of adding a thousand terms'
  for (let seed = 0; seed < 20; seed++) {
    const plane: Plane = { point: [seed / 4, 1, 0], normal: randomDirection(seed) }
    const fast = halfSpace(buildTree(mesh), plane)
    const slow = halfSpaceByFullPass(mesh, plane)
    expectNear(fast.volumeMm3, slow.volumeMm3, { abs: 1e-8, because })
    expectNear(fast.areaMm2, slow.areaMm2, { abs: 1e-8, because })
  }
})
