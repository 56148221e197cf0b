import { describe, expect, it } from 'vitest'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences, type KneeAngles, type LandmarkId } from '../../src/anatomy/terms.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { inverse, mapPoint } from '../../src/geometry/rigid.ts'
import { flipWinding, mirrorMesh } from '../../src/geometry/transform.ts'
import { distance, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { disguised, femurOf, randomMotion, realMesh, tibiaOf } from './bones.ts'

const pairs: readonly [name: string, femur: string, tibia: string][] = [
  ['bp3d', 'bp3d/femur_right.stl', 'bp3d/tibia_right.stl'],
  ['hra right', 'hra/femur_right.ply', 'hra/tibia_right.ply'],
  ['the upside-down femur with the inward tibia', 'other/femur_right_upside_down.stl', 'defects/tibia_left_inward.stl'],
  ['the coarse bones', 'other/femur_right_coarse.ply', 'other/tibia_right_coarse.ply'],
]

const inward = (mesh: Mesh): Mesh => ({ ...mesh, triangles: flipWinding(mesh.triangles) })
const mirrorPoint = ([x, y, z]: Vec3): Vec3 => [-x, y, z]

function anglesOf(femur: Mesh, tibia: Mesh): KneeAngles {
  return measureAngles(femurOf(femur), tibiaOf(tibia), { references: defaultReferences, frame: 'unknown' }).angles
}

function numbersOf(angles: KneeAngles): Record<string, number> {
  const { kneePose, coronalType: _type, ...plain } = angles
  return Object.fromEntries(
    Object.entries({ ...plain, ...kneePose }).filter((entry): entry is [string, number] => entry[1] !== null),
  )
}

describe.each(pairs)('%s', (_name, femurFile, tibiaFile) => {
  const femur = realMesh(femurFile)
  const tibia = realMesh(tibiaFile)
  const asFiled = numbersOf(anglesOf(femur, tibia))

  it('gives the same angles when both files are turned and shifted together and shuffled', () => {
    const random = seededRandom(11)
    for (let k = 0; k < 3; k++) {
      const motion = randomMotion(random)
      const moved = numbersOf(anglesOf(disguised(femur, motion, random), disguised(tibia, motion, random)))
      expect(Object.keys(moved)).toEqual(Object.keys(asFiled))
      for (const [name, value] of Object.entries(asFiled))
        expectNear(moved[name]!, value, {
          absDeg: 1e-6,
          because: 'rounding of coordinates far from the origin; the contract is 0.01°',
        })
    }
  })

  it('has its landmarks on the same places of the bone after a rigid motion', () => {
    const random = seededRandom(12)
    const motion = randomMotion(random)
    const back = inverse(motion)
    for (const [still, moved] of [
      [femurOf(femur).landmarks, femurOf(disguised(femur, motion, random)).landmarks],
      [tibiaOf(tibia).landmarks, tibiaOf(disguised(tibia, motion, random)).landmarks],
    ] as const)
      for (const id of Object.keys(still) as LandmarkId[])
        expect(distance(mapPoint(back, moved[id]!.mm), still[id]!.mm), id).toBeLessThan(1e-6)
  })

  it('mirrored is the other side with the same angles and the landmarks on the mirrored places, whichever way it is wound', () => {
    const still = { femur: femurOf(femur), tibia: tibiaOf(tibia) }
    const other = { femur: femurOf(mirrorMesh(femur)), tibia: tibiaOf(inward(mirrorMesh(tibia))) }
    expect(other.femur.side).not.toBe(still.femur.side)
    expect(other.tibia.side).not.toBe(still.tibia.side)
    const choices = { references: defaultReferences, frame: 'unknown' } as const
    const mirrored = numbersOf(measureAngles(other.femur, other.tibia, choices).angles)
    expect(Object.keys(mirrored)).toEqual(Object.keys(asFiled))
    for (const [name, value] of Object.entries(asFiled))
      expectNear(mirrored[name]!, value, {
        absDeg: 1e-6,
        because: 'every step works in coordinates without handedness',
      })
    for (const bone of [other, { ...other, femur: femurOf(inward(mirrorMesh(femur))) }])
      for (const name of ['femur', 'tibia'] as const)
        for (const [id, { mm }] of Object.entries(still[name].landmarks))
          expect(distance(mirrorPoint(bone[name].landmarks[id as LandmarkId]!.mm), mm), id).toBeLessThan(1e-6)
  })
})
