import fc from 'fast-check'
import { describe, it } from 'vitest'
import { jointPose, tibiaFrameFromPose, tibiaFromPose } from '../../src/anatomy/joint-pose.ts'
import type { Side } from '../../src/anatomy/terms.ts'
import { type Frame, mapPoint, mapVector, type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'

const limb: Frame = { origin: [0, 0, 0], x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] }
const frameOfColumns = (r: readonly number[], origin: Vec3): Frame => ({
  origin,
  x: [r[0]!, r[3]!, r[6]!],
  y: [r[1]!, r[4]!, r[7]!],
  z: [r[2]!, r[5]!, r[8]!],
})
const moved = (f: Frame, by: Rigid): Frame => ({
  origin: mapPoint(by, f.origin),
  x: mapVector(by, f.x),
  y: mapVector(by, f.y),
  z: mapVector(by, f.z),
})
const mirrorZ = (v: Vec3): Vec3 => [v[0], v[1], -v[2]]
/** The left knee that is the mirror image of a right one: points are mirrored, Z stays to the subject's right. */
const mirrored = (f: Frame): Frame => ({
  origin: mirrorZ(f.origin),
  x: mirrorZ(f.x),
  y: mirrorZ(f.y),
  z: mirrorZ([-f.z[0], -f.z[1], -f.z[2]]),
})

/** Grood & Suntay, J Biomech Eng 1983;105:136; worked examples computed by two routes, check values §2. */
const worked = [
  0.845301314, 0.498097349, -0.193299559, -0.505510683, 0.862729916, 0.012491699, 0.172987394, 0.087155743, 0.981060262,
]
const because = 'the worked example prints nine decimals'

describe('the joint coordinate system of the knee', () => {
  it('reads 30 / 5 / 10 from the worked example, and its translations', () => {
    const pose = jointPose(limb, frameOfColumns(worked, [3, -400, 2]), 'right')
    expectNear(pose.flexionDeg, 30, { absDeg: 1e-6, because })
    expectNear(pose.varusDeg, 5, { absDeg: 1e-6, because })
    expectNear(pose.externalRotationDeg, 10, { absDeg: 1e-6, because })
    expectNear(pose.lateralMm, 2, { absMm: 1e-6, because })
    expectNear(pose.anteriorMm, 202.598076, { absMm: 1e-5, because })
    expectNear(pose.proximalMm, -343.423363, { absMm: 1e-5, because })
  })

  it('puts the tibia of the worked example back', () => {
    const pose = jointPose(limb, frameOfColumns(worked, [3, -400, 2]), 'right')
    const frame = tibiaFrameFromPose(limb, pose, 'right')
    const origin = [3, -400, 2]
    for (let k = 0; k < 3; k++) expectNear(frame.origin[k]!, origin[k]!, { absMm: 1e-6, because })
    expectNear(frame.y[0], 0.498097349, { abs: 1e-8, because })
    expectNear(frame.z[1], 0.012491699, { abs: 1e-8, because })
  })

  it('builds the second worked example: 90 of flexion, −3 of varus, −15 of external rotation', () => {
    const r = tibiaFromPose(
      { flexionDeg: 90, varusDeg: -3, externalRotationDeg: -15, lateralMm: 0, anteriorMm: 0, proximalMm: 0 },
      'right',
    ).rotation
    const printed: readonly [number, number][] = [
      [3, 0.998629535],
      [1, -0.965925826],
      [2, -0.258464343],
      [5, -0.052335956],
      [8, 0.964602059],
      [4, 0],
    ]
    for (const [at, value] of printed) expectNear(r[at]!, value, { abs: 1e-9, because })
  })

  it('reads flexion when the ankle goes back, varus when it goes medially, rotation when the toes turn out', () => {
    for (const [side, s] of [
      ['right', 1],
      ['left', -1],
    ] as const) {
      const turned = (axis: Vec3, radians: number) =>
        moved(limb, { rotation: rotationAbout(axis, radians), translation: [0, 0, 0] })
      const ankle = (f: Frame): Vec3 => [-f.y[0] * 400, -f.y[1] * 400, -f.y[2] * 400]
      const flexed = turned([0, 0, 1], -0.3)
      if (!(ankle(flexed)[0] < 0)) throw new Error('the test turns the wrong way')
      expectNear(jointPose(limb, flexed, side).flexionDeg, (0.3 * 180) / Math.PI, { absDeg: 1e-9, because: 'exact' })
      const varus = turned([1, 0, 0], s * 0.1)
      if (!(s * ankle(varus)[2] < 0)) throw new Error('the test turns the wrong way')
      expectNear(jointPose(limb, varus, side).varusDeg, (0.1 * 180) / Math.PI, { absDeg: 1e-9, because: 'exact' })
      const out = turned([0, 1, 0], -s * 0.2)
      if (!(s * out.x[2] > 0)) throw new Error('the test turns the wrong way')
      expectNear(jointPose(limb, out, side).externalRotationDeg, (0.2 * 180) / Math.PI, {
        absDeg: 1e-9,
        because: 'exact',
      })
    }
  })

  const angle = (max: number) => fc.double({ min: -max, max, noNaN: true })
  const poses = fc.record({
    flexionDeg: angle(170),
    varusDeg: angle(60),
    externalRotationDeg: angle(170),
    lateralMm: angle(50),
    anteriorMm: angle(50),
    proximalMm: angle(500),
  })
  const sides = fc.constantFrom<Side>('left', 'right')

  it('has an exact inverse on both sides, in any common frame', () => {
    fc.assert(
      fc.property(poses, sides, angle(1), angle(1), angle(3), (pose, side, a, b, turn) => {
        const by = { rotation: rotationAbout([a, b, 1], turn), translation: [50, -20, 700] as const }
        const femur = moved(limb, by)
        const read = jointPose(femur, tibiaFrameFromPose(femur, pose, side), side)
        for (const key of [
          'flexionDeg',
          'varusDeg',
          'externalRotationDeg',
          'lateralMm',
          'anteriorMm',
          'proximalMm',
        ] as const)
          expectNear(read[key], pose[key], { abs: 1e-8, because: 'rounding of coordinates near 1000 mm' })
      }),
    )
  })

  it('gives a mirrored leg the same six numbers', () => {
    fc.assert(
      fc.property(poses, (pose) => {
        const tibia = tibiaFrameFromPose(limb, pose, 'right')
        const left = jointPose(mirrored(limb), mirrored(tibia), 'left')
        const right = jointPose(limb, tibia, 'right')
        for (const key of [
          'flexionDeg',
          'varusDeg',
          'externalRotationDeg',
          'lateralMm',
          'anteriorMm',
          'proximalMm',
        ] as const)
          expectNear(left[key], right[key], { abs: 1e-9, because: 'rounding' })
      }),
    )
  })
})
