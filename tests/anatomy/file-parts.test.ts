import { describe, expect, it } from 'vitest'
import { fileParts, hasGap } from '../../src/anatomy/file-parts.ts'
import { clip } from '../../src/geometry/clip.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { keepPiece } from '../../src/geometry/repair.ts'
import { addScaled, scale, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { femurOf, realMesh } from './bones.ts'

const mesh = realMesh('hra/femur_left.ply')
const { frame, landmarks } = femurOf(mesh)
const part = (point: Vec3, normal: Vec3): Mesh => expectOk(clip(mesh, { point, normal })).kept
const knee = part(addScaled(frame.origin, frame.y, 110), scale(frame.y, -1))
const hip = part(addScaled(landmarks.hipCentre!.mm, frame.y, -40), frame.y)

function together(a: Mesh, b: Mesh): Mesh {
  const n = a.positions.length / 3
  return {
    positions: Float64Array.from([...a.positions, ...b.positions]),
    triangles: Uint32Array.from([...a.triangles, ...b.triangles.map((v) => v + n)]),
  }
}

describe('several parts of a leg in one file', () => {
  it('are each told by shape, in the order of their area, and kept one by one', () => {
    const both = together(hip, knee)
    expect(fileParts(both).map(({ rank, guess }) => [rank, guess.companion ?? guess.bone])).toEqual([
      [0, 'femur'],
      [1, 'femoral-head'],
    ])
    expect(keepPiece(both, 0).triangles.length).toBe(knee.triangles.length)
    expect(keepPiece(both, 1).triangles.length).toBe(hip.triangles.length)
    expect(keepPiece(both, 2).triangles.length).toBe(0)
  })

  it('are seen by the gap between them, which no bone has', () => {
    expect(hasGap(together(hip, knee))).toBe(true)
    for (const whole of [mesh, knee, hip, realMesh('bp3d/tibia_right.stl'), realMesh('other/tibia_right_coarse.ply')])
      expect(hasGap(whole)).toBe(false)
  })

  it('are not made of one bone, of its inner surface, or of a bone with an island', () => {
    expect(fileParts(mesh)).toEqual([])
    const inner: Mesh = { ...knee, positions: knee.positions.map((c, i) => 0.9 * c + 0.1 * frame.origin[i % 3]!) }
    expect(fileParts(together(knee, inner))).toEqual([])
    const island: Mesh = { ...knee, positions: knee.positions.map((c) => 0.1 * c) }
    expect(fileParts(together(knee, island))).toEqual([])
  })
})
