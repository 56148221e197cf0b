import { describe, expect, it } from 'vitest'
import { ldfaDeg } from '../../src/anatomy/angles.ts'
import type { FemurAnatomy } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { addScaled, distance, type Vec3 } from '../../src/geometry/vec.ts'
import { femurOf, realMesh } from './bones.ts'

/** A round bump on a surface near a place, standing out along a direction (unit), mm. */
function bumped({ positions, triangles }: Mesh, near: Vec3, out: Vec3, heightMm: number, widthMm: number): Mesh {
  const at = (v: number): Vec3 => [positions[v]!, positions[v + 1]!, positions[v + 2]!]
  let centre = at(0)
  for (let v = 0; v < positions.length; v += 3) if (distance(at(v), near) < distance(centre, near)) centre = at(v)
  const moved = positions.slice()
  for (let v = 0; v < positions.length; v += 3) {
    const share = 1 - (distance(at(v), centre) / (widthMm / 2)) ** 2
    if (share > 0) moved.set(addScaled(at(v), out, heightMm * share * share), v)
  }
  return { positions: moved, triangles }
}

const ldfaOf = ({ frame, landmarks, side }: FemurAnatomy) =>
  ldfaDeg(frame, landmarks.condyleDistalMedial!.mm, landmarks.condyleDistalLateral!.mm, side)

describe('an osteophyte that stands out distally beside the contact of a condyle', () => {
  // Before narrow pieces were left out, LDFA moved by 4° to 6.5°.
  it.each([
    ['mri/distal_femur_right_2.ply', 'condyleDistalMedial'],
    ['mri/distal_femur_right_3.ply', 'condyleDistalLateral'],
  ] as const)('is left out of %s, and said to be', (file, id) => {
    const mesh = realMesh(file)
    const clean = femurOf(mesh)
    const near = addScaled(clean.landmarks[id]!.mm, clean.frame.x, 14)
    const down: Vec3 = [-clean.frame.y[0], -clean.frame.y[1], -clean.frame.y[2]]
    const femur = femurOf(bumped(mesh, near, down, 8, 12))
    expect(Math.abs(ldfaOf(femur) - ldfaOf(clean))).toBeLessThan(0.6)
    expect(femur.landmarks[id]!.reason).toMatch(/osteophyte/)
    expect(femur.landmarks[id]!.confidence).toBeLessThan(0.7)
  })
})
