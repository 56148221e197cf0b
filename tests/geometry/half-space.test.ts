import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import { isClosed } from '../../src/geometry/closed.ts'
import { halfSpace, halfSpaceByFullPass } from '../../src/geometry/half-space.ts'
import { volume } from '../../src/geometry/measure.ts'
import { flipped, type Plane } from '../../src/geometry/plane.ts'
import { section } from '../../src/geometry/section.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { boneLike, randomDirection } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

const bone = boneLike(20_000, 7)
const tree = buildTree(bone)
const whole = volume(bone)
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
        expectNear(fast.areaMm2, slow.areaMm2, { abs: 1e-10, because: 'the same sums in another order' })
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
})
