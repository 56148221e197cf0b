import { describe, expect, test } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { asItLies, register } from '../../src/geometry/register.ts'
import { compose, mapPoint, type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { sampleSurface } from '../../src/geometry/sample-surface.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { addScaled, distance, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { box } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

const leg = makeLeg({}, { edgeMm: 3 })

/** How far the found map puts any corner of the mesh from where it belongs, at most. */
function worstMm(mesh: Mesh, found: Rigid, truth: Rigid): number {
  const off = compose(found, truth)
  let worst = 0
  for (let i = 0; i < mesh.positions.length; i += 300) {
    const p: Vec3 = [mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!]
    worst = Math.max(worst, distance(mapPoint(off, p), p))
  }
  return worst
}

describe('a surface laid on another of the same bone', () => {
  test('comes back from any pose, with a sawn end left out of it', () => {
    const tree = buildTree(leg.tibia)
    const { frame } = leg.truth.tibia
    const reach = leg.truth.tibia.medial.point
    const saw = unit([0.05 * frame.x[0] - frame.y[0], 0.05 * frame.x[1] - frame.y[1], 0.05 * frame.x[2] - frame.y[2]])
    const cut = expectOk(clip(leg.tibia, { point: addScaled(reach, frame.y, -9), normal: saw })).kept
    for (const [axis, rad, shift] of [
      [[0.3, 1, -0.2], 2.4, [120, -340, 55]],
      [[1, 0.1, 0], 3.1, [-20, 10, 800]],
    ] as const) {
      const moved: Rigid = { rotation: rotationAbout(axis, rad), translation: shift }
      const found = register(mapMesh(cut, moved), tree)
      expectNear(worstMm(cut, found.fixedFromMoving, moved), 0, {
        absMm: 0.02,
        because: 'the uncut surface is the same',
      })
      expect(found.rmsMm).toBeLessThan(0.05)
      expect(found.share).toBeGreaterThan(0.85)
      expectNear(found.turnedDeg, (rad * 180) / Math.PI, { absDeg: 0.02, because: 'the same turn back' })
    }
  }, 60_000)

  test('is told when it lies there already, and when it never can', () => {
    const tree = buildTree(leg.femur)
    const lies = asItLies(leg.femur, tree)
    expect(lies.share).toBe(1)
    expectNear(lies.rmsMm, 0, { absMm: 1e-9, because: 'every sample is on the surface itself' })
    expect(register(leg.tibia, tree).share).toBeLessThan(0.6)
  }, 60_000)

  test('samples lie on the surface, in proportion to its area', () => {
    const samples = sampleSurface(box([0, 0, 0], [1, 1, 1]), 600, 1)
    expect(samples).toHaveLength(600)
    for (const axis of [0, 1, 2] as const) {
      const faces = samples.filter(({ normal }) => Math.abs(normal[axis]) > 0.5)
      expectNear(faces.length, 200, { abs: 2, because: 'a third of the area, one sample per share of it' })
    }
  })
})
