import { describe, it } from 'vitest'
import {
  arithmeticHkaDeg,
  externalRotationDeg,
  hkaDeg,
  jlcaByLinesDeg,
  jlcaDerivedDeg,
  jointLineObliquityDeg,
  ldfaDeg,
  mptaDeg,
  mptaPlainDeg,
  slopeDeg,
} from '../../src/anatomy/angles.ts'
import { jointPose } from '../../src/anatomy/joint-pose.ts'
import { frameFromLongAndAnterior, rotationAbout } from '../../src/geometry/rigid.ts'
import { sub, toDeg, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'

/** Points of the numeric check of check values §1.3, (lateral, up) in mm, in the limb frame of a right or left leg. */
const planar = (s: 1 | -1) => {
  const at = (lateral: number, up: number, x = 0): Vec3 => [x, up, s * lateral]
  const femur = frameFromLongAndAnterior(at(0, 0), at(12, 430), [1, 0, 0])
  const tibia = frameFromLongAndAnterior(at(0, 0), at(30, 370), [1, 0, 0])
  return { at, femur, tibia, ankle: at(-30, -370) }
}

describe('the numeric check of the coronal identity (check values §1.3)', () => {
  for (const [side, s] of [
    ['right', 1],
    ['left', -1],
  ] as const)
    it(`comes out on a ${side} leg`, () => {
      const { at, femur, tibia } = planar(s)
      const because = 'the check prints six decimals'
      const varus = jointPose(femur, tibia, side).varusDeg
      expectNear(varus, 3.036926, { absDeg: 1e-5, because })
      expectNear(hkaDeg(varus), 176.963074, { absDeg: 1e-5, because })
      const ldfa = ldfaDeg(femur, at(-25, -1), at(25, 1), side)
      expectNear(ldfa, 86.110853, { absDeg: 1e-5, because })
      const up: Vec3 = [0, 1, 0]
      const medial = { point: at(-25, -0.5), normal: up }
      const lateral = { point: at(25, 0.5), normal: up }
      const mpta = mptaDeg(tibia, medial, lateral, side)
      expectNear(mpta, 84.218774, { absDeg: 1e-5, because })
      expectNear(mptaPlainDeg(tibia, medial.point, lateral.point, side), mpta, { absDeg: 1e-12, because: 'one level' })
      expectNear(jlcaDerivedDeg(mpta, ldfa, hkaDeg(varus)), 1.144847, { absDeg: 1e-5, because })
      expectNear(jlcaByLinesDeg(femur, at(50, 2), at(50, 1), side), 1.144847, { absDeg: 1e-5, because })
    })
})

describe('population arithmetic', () => {
  it('of a series of 500 arthritic knees gives the published arithmetic HKA and obliquity from the two means', () => {
    const because = 'MPTA 85.8 ± 3.0, LDFA 87.6 ± 2.4 → −1.8 and 173.4 (Malaysian series, check values §1.4)'
    expectNear(arithmeticHkaDeg(85.8, 87.6), -1.8, { absDeg: 0.05, because })
    expectNear(jointLineObliquityDeg(85.8, 87.6), 173.4, { absDeg: 0.05, because })
  })

  it('of a shift of the ankle centre by 1.8 mm on a 345 mm tibia turns the coronal axis by 0.299°', () => {
    const knee: Vec3 = [0, 0, 0]
    const lean = (ankle: Vec3) => {
      const y = frameFromLongAndAnterior(knee, sub(knee, ankle), [1, 0, 0]).y
      return toDeg(Math.atan2(y[2], y[1]))
    }
    expectNear(lean([0, -345, -1.8]) - lean([0, -345, 0]), 0.2989, { absDeg: 1e-4, because: 'check values §1.2' })
  })
})

describe('MPTA by the levelled line', () => {
  it('does not move when a plateau point slides along its own sagittal trace', () => {
    const tibia = frameFromLongAndAnterior([0, 0, 0], [0, 1, 0], [1, 0, 0])
    const normal = unit([-Math.tan(toRad(9)), 1, 0])
    const plane = (x: number, z: number): { point: Vec3; normal: Vec3 } => ({
      point: [x, x * Math.tan(toRad(9)) + 0.05 * z, z],
      normal,
    })
    const straight = mptaDeg(tibia, plane(0, -24), plane(0, 24), 'right')
    const slid = mptaDeg(tibia, plane(7, -24), plane(-5, 24), 'right')
    expectNear(slid, straight, { absDeg: 1e-10, because: 'equal slopes' })
    expectNear(straight, 90 - toDeg(Math.atan(0.05)), { absDeg: 1e-10, because: 'medial side lower by 5 %' })
  })
})

describe('slopes', () => {
  it('are posterior-down positive and fall by the lean of the axis they are told against', () => {
    const tibia = frameFromLongAndAnterior([0, 0, 0], [0, 1, 0], [1, 0, 0])
    const normal = unit([-Math.tan(toRad(7)), 1, 0.1])
    expectNear(slopeDeg(tibia, normal, tibia.y), 7, { absDeg: 1e-10, because: 'exact' })
    const shaftLeaningBack: Vec3 = unit([-Math.tan(toRad(2)), 1, 0])
    expectNear(slopeDeg(tibia, normal, shaftLeaningBack), 5, { absDeg: 1e-10, because: 'exact' })
  })
})

describe('external rotation of a line', () => {
  it('is positive when its lateral end lies further back, on both sides', () => {
    const femur = frameFromLongAndAnterior([0, 0, 0], [0, 1, 0], [1, 0, 0])
    for (const [side, s] of [
      ['right', 1],
      ['left', -1],
    ] as const) {
      const posterior: Vec3 = [0, 0, s]
      const turned = rotationAbout([0, 1, 0], -s * toRad(3))
      const line: Vec3 = [turned[2] * s, 0, turned[8] * s]
      expectNear(externalRotationDeg(femur, line, posterior, side), 3, { absDeg: 1e-10, because: 'exact' })
    }
  })
})
