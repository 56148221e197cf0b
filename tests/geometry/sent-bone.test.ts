import { describe, expect, test } from 'vitest'
import { withHoles } from '../../demo-models/variants.ts'
import { makeBoundedBone } from '../../src/geometry/bounded-bone.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { section } from '../../src/geometry/section.ts'
import { receivedBone, sentBone } from '../../src/geometry/sent-bone.ts'
import { boneLike } from '../fixtures/shapes.ts'
import { expectOk } from '../near.ts'

const plane: Plane = { point: [2, 180, 1], normal: [0.2, 0.9, -0.3] }

describe.each([
  ['closed', boneLike(4_000, 3)],
  ['open', withHoles(boneLike(4_000, 3), 3, 12, 5)],
] as const)('a bone that is %s and was handed to another thread', (_, mesh) => {
  const bone = expectOk(makeBoundedBone(mesh))
  // What a message between threads does to its content (HTML standard, StructuredSerialize).
  const arrived = receivedBone(structuredClone(sentBone(bone)))

  test('is the bone it was: measures, sections, volumes and what it lacks', () => {
    const { tree: _tree, missing: _missing, ...rest } = bone
    expect(arrived).toMatchObject(rest)
    expect(arrived.mesh).toBe(arrived.tree.mesh)
    expect(section(arrived.tree, plane)).toEqual(section(bone.tree, plane))
    expect(halfSpace(arrived.tree, plane)).toEqual(halfSpace(bone.tree, plane))
    expect(arrived.missing?.hulls.map((hull) => halfSpace(hull, plane))).toEqual(
      bone.missing?.hulls.map((hull) => halfSpace(hull, plane)),
    )
  })
})
