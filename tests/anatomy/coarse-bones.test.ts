import { describe, expect, it } from 'vitest'
import { ldfaDeg } from '../../src/anatomy/angles.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences, type FemurAnatomy, type LandmarkId, type TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { distance, dot, toDeg } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { femurOf, realMesh, tibiaOf } from './bones.ts'
import { inTriangles } from './remeshed.ts'

const femurs = { right: femurOf(realMesh('hra/femur_right.ply')), left: femurOf(realMesh('hra/femur_left.ply')) }

const anglesOf = (tibia: TibiaAnatomy) =>
  measureAngles(femurs[tibia.side], tibia, { references: defaultReferences, frame: 'unknown' })

const places: readonly LandmarkId[] = [
  'plateauMedial',
  'plateauLateral',
  'spinesCentre',
  'ankleCentre',
  'malleolusMedial',
]

describe.each(['bp3d/tibia_right.stl', 'hra/tibia_right.ply', 'defects/tibia_left_inward.stl'])(
  '%s in few triangles',
  (file) => {
    const mesh = realMesh(file)
    const fine = tibiaOf(mesh)

    it.each([800, 500, 286, 200])('(%i) is the tibia it was', (triangles) => {
      const coarse = tibiaOf(inTriangles(mesh, triangles))
      expect(coarse.side).toBe(fine.side)
      // By notch and tubercle down to some 500, by the outlines too below that, on which bones differ.
      expect(toDeg(Math.acos(dot(coarse.frame.x, fine.frame.x)))).toBeLessThan(
        triangles > 600 ? 2.5 : triangles > 200 ? 4.5 : 6.5,
      )
      // Knee and ankle within 4 and 2 mm, over a bone's length.
      expect(toDeg(Math.acos(dot(coarse.frame.y, fine.frame.y)))).toBeLessThan(1)
      for (const id of places) expect(distance(coarse.landmarks[id]!.mm, fine.landmarks[id]!.mm), id).toBeLessThan(4.2)
      expectNear(anglesOf(coarse).angles.mptaDeg!, anglesOf(fine).angles.mptaDeg!, {
        absDeg: triangles > 600 ? 1 : 1.7,
        because: 'a chord of 10 to 18 mm lies up to 1 mm over or under either plateau, 45 mm from one to the other',
      })
    })
  },
)

describe.each(['bp3d/femur_right.stl', 'hra/femur_left.ply', 'other/femur_right_upside_down.stl'])(
  '%s in few triangles',
  (file) => {
    const mesh = realMesh(file)
    const fine = femurOf(mesh)

    it.each([800, 300])('(%i) is the femur it was', (triangles) => {
      const coarse = femurOf(inTriangles(mesh, triangles))
      const least = triangles < 600
      expect(coarse.side).toBe(fine.side)
      expect(coarse.truncated).toBe(false)
      expect(toDeg(Math.acos(dot(coarse.frame.z, fine.frame.z)))).toBeLessThan(least ? 2.7 : 1.2)
      expect(toDeg(Math.acos(dot(coarse.frame.y, fine.frame.y)))).toBeLessThan(0.8)
      expect(distance(coarse.head!.centre, fine.head!.centre)).toBeLessThan(least ? 1.7 : 0.4)
      for (const id of Object.keys(fine.landmarks) as LandmarkId[])
        expect(distance(coarse.landmarks[id]!.mm, fine.landmarks[id]!.mm), id).toBeLessThan(least ? 5 : 3)
      const ldfa = ({ frame, landmarks, side }: FemurAnatomy) =>
        ldfaDeg(frame, landmarks.condyleDistalMedial!.mm, landmarks.condyleDistalLateral!.mm, side)
      expectNear(ldfa(coarse), ldfa(fine), {
        absDeg: least ? 1.6 : 1,
        because: 'chords of 12 to 20 mm lie up to 2 mm inside either condyle, 45 mm from one to the other',
      })
    })
  },
)

describe('the published tibia of 286 triangles, 18 mm long about the plateaus', () => {
  const tibia = tibiaOf(realMesh('other/tibia_right_coarse.ply'))
  const { angles, warnings } = anglesOf(tibia)

  it('faces forward in its frame and has a joint line of a leg', () => {
    expect(tibia.side).toBe('right')
    // Its file's x is forward; by the tubercle alone the four other real tibiae turn 6° to 25° outward from a straight leg.
    expect(toDeg(Math.acos(dot(tibia.frame.x, [1, 0, 0])))).toBeLessThan(12)
    expect(angles.mptaDeg).toBeGreaterThan(85)
    expect(angles.mptaDeg).toBeLessThan(92)
    // Origin and axis of the published model: knee and ankle lie at z = 0 of its frame.
    expect(Math.abs(tibia.landmarks.tibialKneeCentre!.mm[2])).toBeLessThan(5)
    expect(Math.abs(tibia.landmarks.ankleCentre!.mm[2])).toBeLessThan(5)
  })

  it('withholds its slopes and says why', () => {
    expect(angles.slopeMedialDeg).toBeNull()
    expect(angles.slopeLateralDeg).toBeNull()
    expect(warnings.filter((w) => /too coarse/.test(w.message)).flatMap((w) => w.spoils)).toEqual([
      'angles.slopeMedialDeg',
      'angles.slopeLateralDeg',
    ])
  })

  it('says in words that its plateaus were placed by the outline', () => {
    for (const id of ['plateauMedial', 'plateauLateral', 'spinesCentre', 'posteriorNotch'] as const) {
      expect(tibia.landmarks[id]?.confidence).toBeLessThan(0.7)
      expect(tibia.landmarks[id]?.reason).toMatch(/too coarse/)
    }
    expect(tibia.landmarks.plateauMedial?.confidence).toBeLessThan(0.4)
    expect(tibia.landmarks.plateauMedial?.reason).toMatch(/Set both by hand/)
  })
})
