import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Side, sideFactor } from '../../src/anatomy/terms.ts'
import { mapVector } from '../../src/geometry/rigid.ts'
import { distance, toDeg, toRad, type Vec3 } from '../../src/geometry/vec.ts'
import { standLeg } from '../../src/stance/stand-leg.ts'
import { lineToFloorDeg } from '../../src/stance/tilt.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { limb } from './limb-fixture.ts'

const sides: readonly Side[] = ['right', 'left']

/** Check values §5.1 (planar chain, Lf 430, Lt 370): w, a, φ, MPTA, LDFA, θ, τ, ε, J_t, J_f, JLCA, MAD. */
const table = [
  [90, 50, 0, 87, 87, 2.866, 2.866, 2.866, 0.134, 0.134, 0, 0],
  [90, 50, 3, 87, 87, 2.867, 4.4795, 1.4795, -1.4795, 1.5205, 3, 10.4119],
  [90, 50, 3, 85.5, 88.5, 2.867, 4.4795, 1.4795, 0.0205, 0.0205, 0, 10.4119],
  [90, 50, 5, 85, 88, 2.8687, 5.5563, 0.5563, -0.5563, 1.4437, 2, 17.3495],
  [90, 50, -3, 89, 86, 2.867, 1.2544, 4.2544, -0.2544, -0.2544, 0, -10.4119],
  [90, 50, 10, 82, 88, 2.8769, 8.2528, -1.7472, -0.2528, 3.7472, 4, 34.6655],
  [90, 90, 0, 87, 87, 0, 0, 0, 3, 3, 0, 0],
  [90, 0, 0, 87, 87, 6.4594, 6.4594, 6.4594, -3.4594, -3.4594, 0, 0],
  [83.5, 85, 0, 87, 87, -0.1074, -0.1074, -0.1074, 3.1074, 3.1074, 0, 0],
] as const

const footing = (w: number, a: number, footRotationDeg = 0) => ({
  hipHalfSpacingMm: w,
  ankleHalfSpacingMm: a,
  footRotationDeg,
  ankleHeightMm: 0,
})

describe('a standing leg against the table of check values §5.1', () => {
  for (const side of sides)
    for (const [w, a, varus, mpta, ldfa, theta, tau, epsilon, jt, jf, jlca, mad] of table)
      it(`stands a ${side} leg with w ${w}, a ${a}, φ ${varus}, MPTA ${mpta}, LDFA ${ldfa} as the table says`, () => {
        const s = sideFactor(side)
        const leg = expectOk(standLeg(limb(side, varus), footing(w, a)))
        const because = { abs: 1e-3, because: 'the table is printed to four decimals, asked for to 1e-3' }
        expectNear(leg.legLeanDeg, theta, because)
        expectNear(leg.tibiaLeanDeg, tau, because)
        expectNear(leg.femurLeanDeg, epsilon, because)
        expectNear(leg.kneeOffsetMm, mad, because)
        const tibial: Vec3 = [0, -Math.sin(toRad(90 - mpta)), -s * Math.cos(toRad(90 - mpta))]
        const femoral: Vec3 = [0, -Math.sin(toRad(90 - ldfa)), -s * Math.cos(toRad(90 - ldfa))]
        const tibialToFloor = lineToFloorDeg(mapVector(leg.stanceFromTibiaFrame, tibial))
        const femoralToFloor = lineToFloorDeg(mapVector(leg.stanceFromFemurFrame, femoral))
        expectNear(tibialToFloor, jt, because)
        expectNear(femoralToFloor, jf, because)
        expectNear(femoralToFloor - tibialToFloor, jlca, because)
      })
})

const anyLeg = fc.record({
  side: fc.constantFrom<Side>('right', 'left'),
  varus: fc.double({ min: -15, max: 15, noNaN: true }),
  femurMm: fc.double({ min: 330, max: 520, noNaN: true }),
  tibiaMm: fc.double({ min: 280, max: 440, noNaN: true }),
  w: fc.double({ min: 60, max: 120, noNaN: true }),
  a: fc.double({ min: 0, max: 250, noNaN: true }),
  flexion: fc.double({ min: 0, max: 60, noNaN: true }),
  rotation: fc.double({ min: -20, max: 20, noNaN: true }),
  foot: fc.double({ min: -30, max: 30, noNaN: true }),
})

describe('a standing leg', () => {
  it('closes: Lt·sin τ + Lf·sin ε = w − a for every straight leg', () => {
    fc.assert(
      fc.property(anyLeg, ({ side, varus, femurMm, tibiaMm, w, a, rotation }) => {
        const shape = { hipInFemur: [0, femurMm, 0], ankleInTibia: [0, -tibiaMm, 0] } as const
        const leg = expectOk(standLeg(limb(side, varus, { ...shape, externalRotationDeg: rotation }), footing(w, a)))
        const closure = tibiaMm * Math.sin(toRad(leg.tibiaLeanDeg)) + femurMm * Math.sin(toRad(leg.femurLeanDeg))
        expectNear(closure, w - a, { absMm: 1e-9, because: 'rounding only' })
      }),
    )
  })

  it('agrees with the planar formula for every straight leg', () => {
    fc.assert(
      fc.property(anyLeg, ({ side, varus, femurMm, tibiaMm, w, a }) => {
        const phi = toRad(varus)
        const span = Math.hypot(femurMm * Math.sin(phi), tibiaMm + femurMm * Math.cos(phi))
        const theta = Math.asin((w - a) / span)
        const tau = theta + Math.atan2(femurMm * Math.sin(phi), tibiaMm + femurMm * Math.cos(phi))
        const shape = { hipInFemur: [0, femurMm, 0], ankleInTibia: [0, -tibiaMm, 0] } as const
        const leg = expectOk(standLeg(limb(side, varus, shape), footing(w, a)))
        expectNear(leg.tibiaLeanDeg, toDeg(tau), { absDeg: 1e-9, because: 'same geometry, two routes' })
      }),
    )
  })

  it('keeps the hip plumb above the ankle, both at their spacings, and the knee axis facing forward, in any pose', () => {
    fc.assert(
      fc.property(anyLeg, ({ side, varus, femurMm, tibiaMm, w, a, flexion, rotation, foot }) => {
        const s = sideFactor(side)
        const leg = expectOk(
          standLeg(
            limb(side, varus, {
              hipInFemur: [0, femurMm, 0],
              ankleInTibia: [0, -tibiaMm, 0],
              flexionDeg: flexion,
              externalRotationDeg: rotation,
            }),
            footing(w, a, foot),
          ),
        )
        const exact = { absMm: 1e-9, because: 'rounding only' }
        expectNear(leg.hip[0], 0, exact)
        expectNear(leg.hip[2], s * w, exact)
        expectNear(leg.ankle[2], s * a, exact)
        expectNear(distance(leg.knee, leg.hip), femurMm, exact)
        expectNear(distance(leg.knee, leg.ankle), tibiaMm, exact)
        const kneeAxis = mapVector(leg.stanceFromFemurFrame, [0, 0, 1])
        const turnedOut = toDeg(Math.atan2(-s * kneeAxis[0], kneeAxis[2]))
        expectNear(turnedOut, foot, { absDeg: 1e-9, because: 'rounding only' })
      }),
    )
  })

  it('leans the tibia forward by atan2(Lf sin f, Lt + Lf cos f) when the knee is flexed and hip and ankle are in line', () => {
    for (const flexion of [0, 5, 20, 45, 90]) {
      const f = toRad(flexion)
      const leg = expectOk(standLeg(limb('right', 0, { flexionDeg: flexion }), footing(50, 50)))
      expectNear(leg.tibiaForwardLeanDeg, toDeg(Math.atan2(430 * Math.sin(f), 370 + 430 * Math.cos(f))), {
        absDeg: 1e-9,
        because: 'the convention states this formula',
      })
      if (flexion > 0) expect(leg.knee[0], 'the knee goes forward').toBeGreaterThan(0)
    }
  })

  it('turns the toes outward for a positive foot rotation on both sides', () => {
    for (const side of sides) {
      const leg = expectOk(standLeg(limb(side, 0), footing(85, 45, 15)))
      const forward = mapVector(leg.stanceFromTibiaFrame, [1, 0, 0])
      expect(sideFactor(side) * forward[2]).toBeGreaterThan(0.2)
    }
  })

  it('mirrors: a left leg is the image of the right one to 1e-9', () => {
    fc.assert(
      fc.property(anyLeg, ({ varus, w, a, flexion, rotation, foot }) => {
        const change = { flexionDeg: flexion, externalRotationDeg: rotation }
        const right = expectOk(standLeg(limb('right', varus, change), footing(w, a, foot)))
        const left = expectOk(standLeg(limb('left', varus, change), footing(w, a, foot)))
        const exact = { abs: 1e-9, because: 'mirror images' }
        expectNear(left.tibiaLeanDeg, right.tibiaLeanDeg, exact)
        expectNear(left.femurLeanDeg, right.femurLeanDeg, exact)
        expectNear(left.tibiaForwardLeanDeg, right.tibiaForwardLeanDeg, exact)
        expectNear(left.kneeOffsetMm, right.kneeOffsetMm, exact)
        const knees = [right.knee[0] - left.knee[0], right.knee[1] - left.knee[1], right.knee[2] + left.knee[2]]
        for (const k of knees) expectNear(k, 0, exact)
      }),
    )
  })

  it('turns one leg lean of 0.72° into each 10 mm of foot spacing (check values §5.2)', () => {
    const narrow = expectOk(standLeg(limb('right', 0), footing(90, 50)))
    const wide = expectOk(standLeg(limb('right', 0), footing(90, 60)))
    expectNear(wide.legLeanDeg - narrow.legLeanDeg, -0.717, { absDeg: 2e-3, because: 'derivative printed to 3 digits' })
  })

  it('refuses a leg too short for the spacing', () => {
    expectFailure(standLeg(limb('right', 0), footing(900, 0)), 'stance/degenerate')
  })
})
