import { describe, expect, it } from 'vitest'
import { sideFactor } from '../../src/anatomy/terms.ts'
import { newCase } from '../../src/casefile/document.ts'
import { mapPoint } from '../../src/geometry/rigid.ts'
import { toDeg, toRad } from '../../src/geometry/vec.ts'
import { loadEveryPose } from '../../src/loading/loads.ts'
import { rising } from '../../src/stance/rise.ts'
import { stanceSensitivities } from '../../src/stance/sensitivity.ts'
import { standEveryPose } from '../../src/stance/stand.ts'
import { poseNames, type StanceChoices } from '../../src/stance/terms.ts'
import { expectNear, expectOk } from '../near.ts'
import { type KneeNumbers, knee, turnedFile } from './anatomy-fixture.ts'

const numbers: KneeNumbers = {
  side: 'right',
  ldfaDeg: 88,
  mptaDeg: 85,
  hkaDeg: 175,
  cutMptaDeg: 87,
  cutLdfaDeg: 87,
  cutSlopeDeg: 0,
}

const own: StanceChoices = { ...newCase.stance, pose: 'own', hipHalfSpacingMm: 90, ankleHalfSpacingMm: 50 }
const implants = {
  family: 'generic-total',
  femurSize: 5,
  femurSizeSource: 'chosen',
  tibiaSize: 5,
  tibiaSizeSource: 'chosen',
  insertMm: 7,
  femurRunnerUp: null,
  tibiaRunnerUp: null,
} as const

const stand = (n: KneeNumbers, choices = own) => expectOk(standEveryPose({ side: n.side, ...knee(n), choices }))
const pose = (n: KneeNumbers, choices = own) => stand(n, choices).poses.find((p) => p.pose === choices.pose)!

describe('standing before and after the cuts', () => {
  for (const side of ['right', 'left'] as const) {
    it(`stands the ${side} leg before with its native deviation and after with LDFA − MPTA of the cuts`, () => {
      const standing = pose({ ...numbers, side })
      const because = { abs: 1e-3, because: 'rows 4 and 1 of check values §5.1 are printed to four decimals' }
      expectNear(standing.tibiaLeanBeforeDeg!, 5.5563, because)
      expectNear(standing.jointLineToFloorBeforeDeg!, -0.5563, because)
      expectNear(standing.tibiaLeanDeg, 2.866, because)
      expectNear(standing.trayToFloorCoronalDeg, 0.134, because)
      expectNear(standing.limbVarusDeg, 0, { abs: 1e-12, because: '87 − 87' })
    })

    it(`does not care how the ${side} leg’s files lie`, () => {
      const lying = {
        ...numbers,
        side,
        hkaDeg: null,
        cutSlopeDeg: 5,
        femurFile: turnedFile(37, [400, -20, 900]),
        tibiaFile: turnedFile(-71, [3, 2, 1]),
      }
      const plain = pose({ ...numbers, side, cutSlopeDeg: 5 })
      const turned = pose(lying, { ...own, jlcaDeg: 2 })
      for (const key of ['tibiaLeanDeg', 'trayToFloorCoronalDeg', 'trayToFloorSagittalDeg', 'trayToFloorDeg'] as const)
        expectNear(turned[key], plain[key], { abs: 1e-9, because: 'rounding only' })
      const { femur, tibia } = knee(lying)
      expectNear(mapPoint(turned.stanceFromTibia, tibia.landmarks.ankleCentre!.mm)[2], sideFactor(side) * 50, {
        absMm: 1e-9,
        because: 'the posed bone stands on its ankle',
      })
      expect(mapPoint(turned.stanceFromFemur, femur.landmarks.hipCentre!.mm)[1]).toBeGreaterThan(800)
    })
  }

  it('keeps the slope as the tilt front to back at full extension, “level side to side; slope leaves 6.5°”', () => {
    const lean = 2.866
    const standing = pose({ ...numbers, cutMptaDeg: 90 - lean, cutLdfaDeg: 90 - lean, cutSlopeDeg: 6.5 })
    expectNear(standing.trayToFloorCoronalDeg, 0, { absDeg: 2e-4, because: 'lean printed to four digits' })
    expectNear(standing.trayToFloorSagittalDeg, 6.5, {
      absDeg: 0.02,
      because: 'projected slope, leaned by 2.9° in the other plane',
    })
  })

  it('says medial side down for a varus cut standing plumb and lateral side down for a valgus one, on both sides', () => {
    const plumb = { ...own, hipHalfSpacingMm: 85, ankleHalfSpacingMm: 85 }
    for (const side of ['right', 'left'] as const) {
      expectNear(pose({ ...numbers, side, cutMptaDeg: 86, cutLdfaDeg: 86 }, plumb).trayToFloorCoronalDeg, 4, {
        absDeg: 1e-9,
        because: 'plumb',
      })
      expectNear(pose({ ...numbers, side, cutMptaDeg: 93, cutLdfaDeg: 93 }, plumb).trayToFloorCoronalDeg, -3, {
        absDeg: 1e-9,
        because: 'plumb',
      })
    }
  })

  it('uses an entered joint line convergence instead of the measured one, and 0 with a warning where none is known', () => {
    expectNear(pose(numbers, { ...own, jlcaDeg: 2 }).limbVarusBeforeDeg!, 5, { abs: 1e-12, because: '88 − 85 + 2' })
    const unknown = stand({ ...numbers, hkaDeg: null })
    expectNear(unknown.poses[0]!.limbVarusBeforeDeg!, 3, { abs: 1e-12, because: '88 − 85' })
    expect(unknown.warnings.map((w) => w.code)).toContain('stance/convergence-unknown')
  })

  it('applies entered numbers to the shown pose and the own pose only', () => {
    const { poses } = stand(numbers, { ...own, pose: 'natural', flexionDeg: 10 })
    expect(poses.map((p) => p.pose)).toEqual([...poseNames])
    const spacing = Object.fromEntries(
      poses.map((p) => [p.pose, [p.hipHalfSpacingMm, p.ankleHalfSpacingMm, p.spacingSource, p.flexionDeg]]),
    )
    expect(spacing).toEqual({
      'feet-together': [85, 45, 'assumed', 0],
      natural: [90, 50, 'entered', 10],
      'one-leg': [85, 15, 'assumed', 0],
      own: [90, 50, 'entered', 10],
    })
  })

  it('leaves a pose out, with a warning, when the leg cannot reach', () => {
    const { poses, warnings } = stand(numbers, { ...own, hipHalfSpacingMm: 2000 })
    expect(poses.map((p) => p.pose)).not.toContain('own')
    expect(warnings.map((w) => w.code)).toContain('stance/degenerate')
  })

  it('tilts the pelvis up on the side that the cuts made longer: 10 mm over 170 mm between the hips', () => {
    const site = {
      point: [0, 0, 0],
      distanceMm: 0,
      cartilageMm: 0,
      wornMm: 0,
      kerfMm: 0,
      pieceMm: 0,
      totalMm: 0,
      componentMm: 10,
      within: false,
    } as const
    const straight = { ...numbers, ldfaDeg: 87, mptaDeg: 87, hkaDeg: 180 }
    const made = knee(straight)
    const sites = [{ ...site, id: 'tibia-medial' as const, differenceMm: -10 }]
    const { poses } = expectOk(
      standEveryPose({ side: 'right', ...made, plan: { ...made.plan, sites }, choices: newCase.stance }),
    )
    const natural = poses.find((p) => p.pose === 'natural')!
    expectNear(natural.pelvisTiltDeg, toDeg(Math.atan2(10, 170)), {
      absDeg: 1e-4,
      because: 'the leg leans by 0.2° only',
    })
    expect(poses.find((p) => p.pose === 'one-leg')!.pelvisTiltDeg).toBe(0)
  })

  it('is level under a vertical load exactly where the tray is level side to side', () => {
    const level = pose({ ...numbers, cutMptaDeg: 87, cutLdfaDeg: 87 })
    const trimmed = {
      ...numbers,
      cutMptaDeg: 90 - level.tibiaLeanDeg,
      cutLdfaDeg: 90 - level.tibiaLeanDeg,
      cutSlopeDeg: 4,
    }
    const { tibia, plan } = knee(trimmed)
    const { loads } = loadEveryPose({
      side: 'right',
      poses: [pose(trimmed)],
      tibia,
      plan: { ...plan, implants, components: [] },
      section: null,
      load: newCase.load,
      bearing: newCase.bearing,
      rotationKnown: false,
      ownFamily: null,
    })
    const vertical = loads.find((l) => l.direction === 'vertical')!
    const axial = loads.find((l) => l.direction === 'tibial-axis')!
    expectNear(vertical.shearCoronal, 0, { abs: 1e-9, because: 'level side to side' })
    expectNear(axial.shearToCompression, Math.hypot(Math.tan(toRad(4)), Math.tan(toRad(level.tibiaLeanDeg))), {
      abs: 1e-9,
      because: 'tan of the total tilt of the cut',
    })
  })
})

describe('how the tilt answers', () => {
  it('turns 10 mm of each foot into about 0.72° and says so for every entry', () => {
    const choices: StanceChoices = { ...own, hipHalfSpacingMm: 90, ankleHalfSpacingMm: 50 }
    const answers = stanceSensitivities({
      side: 'right',
      ...knee({ ...numbers, ldfaDeg: 87, mptaDeg: 87, hkaDeg: 180 }),
      choices,
    })
    expect(answers.map((a) => a.what)).toEqual([
      'ankleHalfSpacingMm',
      'hipHalfSpacingMm',
      'flexionDeg',
      'footRotationDeg',
    ])
    expectNear(answers[0]!.coronalDeg, 0.717, { absDeg: 2e-3, because: 'check values §5.2: 0.0717° per mm' })
    expectNear(answers[1]!.coronalDeg, -0.717, { absDeg: 4e-3, because: 'the other end of the same leg' })
  })

  it('rises from lying to exactly the standing pose', () => {
    const standing = pose({ ...numbers, cutSlopeDeg: 5 })
    expect(rising(standing, 1)).toEqual({
      stanceFromFemur: standing.stanceFromFemur,
      stanceFromTibia: standing.stanceFromTibia,
    })
    const { femur, tibia } = knee(numbers)
    const lying = rising(standing, 0)
    const hip = mapPoint(lying.stanceFromFemur, femur.landmarks.hipCentre!.mm)
    const ankle = mapPoint(lying.stanceFromTibia, tibia.landmarks.ankleCentre!.mm)
    expectNear(hip[1], ankle[1], { absMm: 60, because: 'level but for flexion and the lean' })
    expect(hip[0], 'the head lies behind the feet').toBeLessThan(ankle[0] - 700)
  })
})

describe('an own direction of the load', () => {
  it('stands as a third load beside the two: along the tibia’s own lean it equals the load along the tibia', () => {
    const straight = { ...numbers, ldfaDeg: 87, mptaDeg: 87, hkaDeg: 180, cutMptaDeg: 86, cutLdfaDeg: 86 }
    const { tibia, plan } = knee(straight)
    const standing = pose(straight)
    for (const side of ['right', 'left'] as const) {
      const made = knee({ ...straight, side })
      const { loads } = loadEveryPose({
        side,
        poses: [pose({ ...straight, side })],
        tibia: side === 'right' ? tibia : made.tibia,
        plan: { ...(side === 'right' ? plan : made.plan), implants, components: [] },
        section: null,
        load: { ...newCase.load, ownLateralDeg: standing.tibiaLeanDeg },
        bearing: newCase.bearing,
        rotationKnown: false,
        ownFamily: null,
      })
      expect(loads.map((l) => l.direction)).toEqual(['vertical', 'tibial-axis', 'own'])
      expectNear(loads[2]!.shearCoronal, loads[1]!.shearCoronal, { abs: 1e-9, because: 'the same line' })
    }
  })
})
