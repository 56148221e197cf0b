import { describe, expect, it } from 'vitest'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences, type TibiaAnatomy } from '../../src/anatomy/terms.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { type Rigid, rotate, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { scale, sub, toRad, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { femurOf, randomMotion, realMesh, tibiaOf } from './bones.ts'

const pairs = [
  ['bp3d/femur_right.stl', 'bp3d/tibia_right.stl'],
  ['hra/femur_left.ply', 'hra/tibia_left.ply'],
] as const

describe.each(pairs)('%s with a shank that lies otherwise than under its thigh', (femurFile, tibiaFile) => {
  const femur = femurOf(realMesh(femurFile))
  const mesh = realMesh(tibiaFile)
  const still = tibiaOf(mesh)
  const measure = (tibia: TibiaAnatomy) =>
    measureAngles(femur, tibia, { references: defaultReferences, frame: 'unknown' })
  const native = measure(still)

  /** The tibia turned about an axis through its knee centre. */
  const tilted = (axis: Vec3, deg: number): TibiaAnatomy => {
    const rotation = rotationAbout(axis, toRad(deg))
    const { origin } = still.frame
    const motion: Rigid = { rotation, translation: sub(origin, rotate(rotation, origin)) }
    return tibiaOf(mapMesh(mesh, motion))
  }

  it.each([15, -15, 20, -20, 30, -30])('tilted %d° sideways has no limb axis, and says by what that is seen', (deg) => {
    const { angles, relativePose, warnings } = measure(tilted(still.frame.x, deg))
    expect(relativePose.shared).toBe(false)
    expect(relativePose.reason).toMatch(
      /^Femur and tibia (lie in no pose of an extended knee|do not share one frame): /,
    )
    expect(relativePose.checks.filter(({ within }) => !within).length).toBeGreaterThan(0)
    expect([angles.hkaDeg, angles.jlcaDeg, angles.kneePose]).toEqual([null, null, null])
    expect(warnings.flatMap(({ spoils }) => spoils)).toEqual(expect.arrayContaining(['angles.hkaDeg', 'gaps']))
    expectNear(angles.arithmeticHkaDeg!, native.angles.arithmeticHkaDeg!, { absDeg: 0.01, because: 'each bone alone' })
  })

  it('flexed 15° about the joint’s own axis keeps its limb axis', () => {
    const { angles, relativePose } = measure(tilted(scale(femur.frame.z, -1), 15))
    expect(relativePose.shared, relativePose.reason ?? '').toBe(true)
    expectNear(angles.hkaDeg!, native.angles.hkaDeg!, {
      absDeg: 0.01,
      because: 'the joint coordinate system parts flexion from varus (Grood and Suntay, J Biomech Eng 1983;105:136)',
    })
  })

  it('in a frame of its own is refused, all it tells alone kept', () => {
    const { angles, relativePose } = measure(tibiaOf(mapMesh(mesh, randomMotion(seededRandom(21)))))
    expect(relativePose.reason).toMatch(/^Femur and tibia do not share one frame: /)
    expectNear(angles.mptaDeg!, native.angles.mptaDeg!, { absDeg: 0.01, because: 'one bone only' })
    expect(angles.hkaDeg).toBeNull()
  })

  it('as it lies in its file passes every row of the table', () => {
    expect(native.relativePose.checks).toHaveLength(8)
    expect(native.relativePose.checks.filter(({ within }) => !within)).toEqual([])
  })
})
