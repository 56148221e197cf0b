import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { assessFully } from '../../src/assess.ts'
import type { CaseDocument } from '../../src/casefile/document.ts'
import { newCase } from '../../src/casefile/document.ts'
import { setAssignment } from '../../src/casefile/set-path.ts'
import { compose, identityRigid, type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { toRad, type Vec3 } from '../../src/geometry/vec.ts'
import { facingComponents, poseOf } from '../../src/loading/facing-components.ts'
import { arc } from '../../src/loading/profile.ts'
import { expectNear, expectOk } from '../near.ts'
import { demoInput } from '../planning/demo-input.ts'

const still: Rigid = identityRigid
const turnedBy = (axis: Vec3, deg: number): Rigid => ({
  rotation: rotationAbout(axis, toRad(deg)),
  translation: [3, -2, 5],
})
const free = { tiltDeg: null, rotationDeg: null, shiftLateralMm: null }
const facing = (patientFromComponent: Rigid, side: 'left' | 'right', change: object = {}) =>
  facingComponents({
    choices: free,
    components: [
      {
        id: 'femoral',
        bone: 'femur',
        mesh: { positions: new Float64Array(), triangles: new Uint32Array() },
        patientFromComponent,
      },
    ],
    side,
    standing: { stanceFromFemur: still, stanceFromTibia: still },
    trayCentre: [0, 0, 0],
    dishesLateralMm: 0,
    dishesForwardMm: 0,
    line: { normal: [0, 1, 0], lateral: [0, 0, side === 'right' ? 1 : -1], anterior: [1, 0, 0] },
    rotationKnown: true,
    mobile: false,
    ...change,
  })

describe('the femoral component over the tray', () => {
  it('reads a turn about the long axis as rotation and a turn about the anterior axis as tilt, alike on both sides', () => {
    fc.assert(
      fc.property(fc.double({ min: -30, max: 30, noNaN: true }), (deg) => {
        for (const side of ['right', 'left'] as const) {
          const s = side === 'right' ? 1 : -1
          const because = 'rotation matrices'
          const turned = facing(turnedBy([0, 1, 0], s * deg), side)
          expectNear(turned.rotationDeg, deg, { absDeg: 1e-9, because })
          expectNear(turned.tiltDeg, 0, { absDeg: 1e-9, because })
          const tilted = facing(turnedBy([1, 0, 0], -s * deg), side)
          expectNear(tilted.tiltDeg, deg, { absDeg: 1e-9, because })
          expectNear(tilted.rotationDeg, 0, { absDeg: 1e-9, because })
        }
      }),
    )
  })

  it('does not read flexion of the knee: that is about its own axis', () => {
    const flexed = { stanceFromFemur: compose(turnedBy([0, 0, 1], 40), still), stanceFromTibia: still }
    expect(facing(still, 'right', { standing: flexed })).toMatchObject({ tiltDeg: 0, rotationDeg: 0 })
  })

  it('gives way to entered numbers, and has no rotation on a mobile insert or between files that share no pose', () => {
    const turned = turnedBy([0, 1, 0], 8)
    expect(facing(turned, 'right', { choices: { tiltDeg: 2, rotationDeg: -3, shiftLateralMm: 1 } })).toEqual({
      tiltDeg: 2,
      rotationDeg: -3,
      shiftLateralMm: 1,
      shiftAnteriorMm: turned.translation[0],
      shiftSource: 'entered',
      tiltSource: 'entered',
      rotationSource: 'entered',
    })
    expect(facing(turned, 'right', { mobile: true })).toMatchObject({ rotationDeg: 0, rotationSource: 'mobile' })
    expect(facing(turned, 'right', { rotationKnown: false })).toMatchObject({
      rotationDeg: 0,
      rotationSource: 'assumed',
      shiftLateralMm: 0,
      shiftAnteriorMm: 0,
      shiftSource: 'assumed',
    })
  })

  it('lies lateral of the dishes by as much as the component stands beside them, on both sides, flexed or tilted', () => {
    // A condyle of radius 20 about the component's own flexion axis, its lowest point 20 below, wherever it is flexed to.
    const round = Array.from({ length: 360 }, (_, k) => [20 * Math.cos(toRad(k)), 20 * Math.sin(toRad(k)), 0]).flat()
    const mesh = { positions: Float64Array.from(round), triangles: new Uint32Array() }
    for (const side of ['right', 'left'] as const) {
      const s = side === 'right' ? 1 : -1
      const placed = (rotation: Rigid) => ({
        components: [
          {
            id: 'femoral',
            bone: 'femur',
            mesh,
            patientFromComponent: { rotation: rotation.rotation, translation: [1, 24, s * 3.5] },
          },
        ],
        trayCentre: [0, 0, s * 1.5],
      })
      const because = 'circle of 1° steps, its lowest point 20 mm below the axis'
      for (const flexed of [0, 35, 90])
        expectNear(facing(still, side, placed(turnedBy([0, 0, 1], flexed))).shiftLateralMm, 2, { absMm: 0.01, because })
      // Tilted about that axis' middle by 4°, lateral side up, the lowest points swing 20·sin 4° to the lateral side.
      const tilted = facing(still, side, placed(turnedBy([1, 0, 0], -s * 4)))
      expectNear(tilted.shiftLateralMm, 2 + 20 * Math.sin(toRad(4)), { absMm: 0.01, because })
      const partial = facing(still, side, { ...placed(still), dishesLateralMm: -1 })
      expectNear(partial.shiftLateralMm, 3, { absMm: 0.01, because })
      // The flexion axis stands 1 mm ahead of the tray's middle, the dishes 4 mm behind it.
      const ahead = facing(still, side, { ...placed(still), dishesForwardMm: -4 })
      expectNear(ahead.shiftAnteriorMm, 5, { absMm: 0.01, because })
    }
  })

  it('leaves the place to the load in a dish, keeps it on a flat insert, and takes an entered one as it is', () => {
    const over = { ...facing(still, 'right'), shiftLateralMm: 3, shiftAnteriorMm: -5 }
    const across = (radiusMm: number) => ({ insertCoronal: arc(radiusMm), insertSagittal: arc(60) })
    expect(poseOf(over, across(41)).shiftLateralMm).toBe(0)
    expect(poseOf(over, across(Number.POSITIVE_INFINITY)).shiftLateralMm).toBe(3)
    expect(poseOf({ ...over, shiftSource: 'entered' }, across(41)).shiftLateralMm).toBe(3)
    expect(poseOf(over, across(41)).shiftAnteriorMm).toBe(0)
    const flatAlong = { insertCoronal: arc(41), insertSagittal: arc(Number.POSITIVE_INFINITY) }
    expect(poseOf(over, flatAlong)).toMatchObject({ shiftLateralMm: 0, shiftAnteriorMm: -5 })
  })

  it('follows cuts, knee and overrides on a whole leg, and not the foot', () => {
    const { femurBone, tibiaBone } = demoInput({}, {}, 2.5)
    const bones = { femur: femurBone, tibia: tibiaBone }
    const at = (...set: readonly string[]) => {
      const document = set.reduce<CaseDocument>((d, one) => expectOk(setAssignment(d, one)), newCase)
      const { findings } = expectOk(assessFully(document, bones))
      return { ...findings.loading[0]!.facing, kneePose: findings.angles.kneePose, findings }
    }
    const level = [
      'cuts.tibia.slopeDeg=0',
      'cuts.tibia.varusDeg=0',
      'cuts.femur.valgusDeg=0',
      'cuts.femur.flexionDeg=0',
    ]
    const base = at(...level, 'cuts.tibia.rotationDeg=0', 'cuts.femur.rotationDeg=0')
    expect(base.kneePose, 'the demo files share a pose').not.toBeNull()
    expect(base.rotationSource).toBe('plan-and-pose')
    const because = 'level cuts turn about the long axes, which lie within a degree of each other'
    expectNear(base.rotationDeg, base.kneePose!.externalRotationDeg, { absDeg: 0.2, because })
    const tray = at(...level, 'cuts.tibia.rotationDeg=5', 'cuts.femur.rotationDeg=0')
    expectNear(tray.rotationDeg - base.rotationDeg, 5, { absDeg: 0.05, because })
    const femur = at(...level, 'cuts.tibia.rotationDeg=0', 'cuts.femur.rotationDeg=4')
    expectNear(femur.rotationDeg - base.rotationDeg, -4, { absDeg: 0.05, because })
    const foot = at(...level, 'cuts.tibia.rotationDeg=0', 'cuts.femur.rotationDeg=0', 'stance.footRotationDeg=12')
    expectNear(foot.rotationDeg, base.rotationDeg, { absDeg: 1e-9, because: 'the whole leg turns' })
    expect(at('bearing.rotationDeg=7', 'bearing.tiltDeg=-1')).toMatchObject({ rotationDeg: 7, tiltDeg: -1 })
    const mobile = { ...newCase, implants: { ...newCase.implants, family: 'generic-total-mobile' } }
    const turning = expectOk(assessFully(mobile, bones)).findings.loading[0]!.facing
    expect(turning).toMatchObject({ rotationDeg: 0, rotationSource: 'mobile' })
  })
})
