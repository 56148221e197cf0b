import { describe, expect, it } from 'vitest'
import { judgedLandmarks } from '../../src/anatomy/judge-landmarks.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, distance, dot, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneOf, femurOf, realMesh } from './bones.ts'
import { bumped } from './bumped.ts'

const judged = (mesh: Mesh) => judgedLandmarks(boneOf(mesh).mesh, femurOf(mesh))

describe('a femur whose head is no whole sphere any more', () => {
  // Before, it was refused as "a femoral head, without the knee’s end", or found without a hip.
  it.each([
    ['bp3d/femur_right.stl', 0.1, -0.1],
    ['bp3d/femur_right.stl', 0.1, 0.1],
    ['hra/femur_right.ply', 0.1, 0.1],
  ] as const)('%s, sheared, is whole and has its hip centre within 5 mm', (file, aside, ahead) => {
    const mesh = realMesh(file)
    const whole = femurOf(mesh)
    const { origin, x, y, z } = whole.frame
    const sheared = (p: Vec3): Vec3 => {
      const d = sub(p, origin)
      const oblique = addScaled(p, y, aside * dot(d, z) + ahead * dot(d, x))
      return addScaled(oblique, z, 0.08 * dot(d, y))
    }
    const positions = mesh.positions.slice()
    for (let v = 0; v < positions.length; v += 3)
      positions.set(sheared([positions[v]!, positions[v + 1]!, positions[v + 2]!]), v)
    const femur = judged({ positions, triangles: mesh.triangles })
    expect(femur.side).toBe('right')
    expect(femur.truncated).toBe(false)
    expect(distance(femur.landmarks.hipCentre!.mm, sheared(whole.landmarks.hipCentre!.mm))).toBeLessThan(5)
  })

  it.each(['bp3d/femur_right.stl', 'hra/femur_right.ply'])(
    '%s, collapsed at the pole, keeps its hip centre',
    (file) => {
      const mesh = realMesh(file)
      const whole = femurOf(mesh)
      const { centre, radiusMm } = whole.head!
      const outward = unit(addScaled(whole.frame.y, whole.frame.z, -0.5))
      const worn = judged(bumped(mesh, addScaled(centre, outward, radiusMm), outward, -6, 36))
      expect(worn.truncated).toBe(false)
      const { mm, sdMm } = worn.landmarks.hipCentre!
      expect(distance(mm, centre)).toBeLessThan(3 * sdMm!)
    },
  )
})
