import { describe, expect, it } from 'vitest'
import { findFemur } from '../../src/anatomy/find-femur.ts'
import { findTibia } from '../../src/anatomy/find-tibia.ts'
import { guessBone } from '../../src/anatomy/guess-bone.ts'
import { defaultReferences, type FemurAnatomy, type TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { makeBoundedBone } from '../../src/geometry/bounded-bone.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { keepTriangles } from '../../src/geometry/repair/keep-triangles.ts'
import { addScaled, dot, scale, sub, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'
import { boneOf, femurOf, realMesh, tibiaOf } from './bones.ts'

/** What a scan that breaks off leaves: the triangles whose corners all lie on the joint's side, the end neither cut straight nor closed. */
function brokenOff(mesh: Mesh, { frame }: FemurAnatomy | TibiaAnatomy, mm: number, obliqueDeg: number): Mesh {
  const sense = Math.sign(mm)
  const normal = unit(addScaled(scale(frame.y, sense), frame.x, Math.tan(toRad(obliqueDeg))))
  const point = addScaled(frame.origin, frame.y, -mm)
  const { positions: p, triangles } = mesh
  const stays = (v: number) => {
    const d = sub([p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!] as Vec3, point)
    const around = Math.atan2(dot(d, frame.x), dot(d, frame.z))
    return dot(d, normal) > 2 * (Math.sin(3 * around) + Math.sin(7 * around))
  }
  return keepTriangles(mesh, (t) => [0, 1, 2].every((k) => stays(triangles[3 * t + k]!)))
}

const cosine = (deg: number) => Math.cos(toRad(deg))

describe('a tibia whose scan breaks off with a ragged, open end', () => {
  it.each([
    ['bp3d/tibia_right.stl', 75, 0],
    ['bp3d/tibia_right.stl', 60, 12],
    // Shaft triangles up to 60 mm long: the border runs askew, and faces 30° to 60° away from the end.
    ['bp3d/tibia_right.stl', 110, 0],
    ['bp3d/tibia_right.stl', 180, 12],
    ['hra/tibia_left.ply', 50, 12],
    ['hra/tibia_left.ply', 75, 12],
    ['defects/tibia_left_inward.stl', 55, 12],
    ['defects/tibia_left_inward.stl', 70, 0],
  ] as const)('%s at %d mm, %d° oblique, is found upright, forward, and on no wrong side', (file, mm, oblique) => {
    const whole = tibiaOf(realMesh(file))
    const part = brokenOff(realMesh(file), whole, mm, oblique)
    for (const bone of [boneOf(part), expectOk(makeBoundedBone(part))]) {
      expect(bone.closed).toBe(false)
      expect(guessBone(bone)).toMatchObject({ bone: 'tibia' })
      const found = expectOk(findTibia(bone, { references: defaultReferences }))
      expect(dot(found.frame.y, whole.frame.y)).toBeGreaterThan(cosine(30))
      expect(dot(found.frame.x, whole.frame.x)).toBeGreaterThan(cosine(30))
      expect(found.sideUnclear === true || found.side === whole.side).toBe(true)
      expect(found.truncated).toBe(true)
      if (mm < 68) expect(found.medial.slopeUnclear).toMatch(/too short for a shaft axis/)
    }
  })
})

describe('a femur whose scan breaks off with a ragged, open end', () => {
  it.each([
    ['bp3d/femur_right.stl', 75, 12],
    ['bp3d/femur_right.stl', 180, 0],
    ['bp3d/femur_right.stl', 230, 12],
    ['hra/femur_left.ply', 60, 0],
    ['hra/femur_left.ply', 90, 12],
    ['other/femur_right_upside_down.stl', 90, 0],
  ] as const)('%s at %d mm, %d° oblique, is found upright, forward, and on no wrong side', (file, mm, oblique) => {
    const whole = femurOf(realMesh(file))
    const part = brokenOff(realMesh(file), whole, -mm, oblique)
    for (const bone of [boneOf(part), expectOk(makeBoundedBone(part))]) {
      expect(guessBone(bone)).toMatchObject({ bone: 'femur' })
      const found = expectOk(findFemur(bone, { references: defaultReferences }))
      expect(dot(found.frame.y, whole.frame.y)).toBeGreaterThan(cosine(30))
      expect(dot(found.frame.x, whole.frame.x)).toBeGreaterThan(cosine(30))
      expect(found.sideUnclear === true || found.side === whole.side).toBe(true)
      expect(found.truncated).toBe(true)
    }
  })
})
