import { describe, expect, it } from 'vitest'
import { mapVector } from '../../../src/geometry/rigid.ts'
import { toRad } from '../../../src/geometry/vec.ts'
import { standLeg } from '../../../src/stance/stand-leg.ts'
import { lineToFloorDeg } from '../../../src/stance/tilt.ts'
import { expectNear, expectOk } from '../../near.ts'
import { limb } from '../../stance/limb-fixture.ts'

/*
 * Published standing numbers (check values §5.2, seen in abstracts). They are ranges of people, not targets of a model:
 * the tests ask that a mean leg falls inside and that directions agree.
 */
function jointLineToFloor(w: number, a: number, varusDeg: number, mptaDeg: number): number {
  const footing = { hipHalfSpacingMm: w, ankleHalfSpacingMm: a, footRotationDeg: 0, ankleHeightMm: 0 }
  const leg = expectOk(standLeg(limb('right', varusDeg), footing))
  const slope = toRad(90 - mptaDeg)
  return lineToFloorDeg(mapVector(leg.stanceFromTibiaFrame, [0, -Math.sin(slope), -Math.cos(slope)]))
}

describe('the standing joint line against published people', () => {
  it('of a mean leg lies within 0.3 ± 2.0° (Victor et al., CORR 2014;472:98, 248 young adults, feet together)', () => {
    expect(Math.abs(jointLineToFloor(90, 50, 0, 87) - 0.3)).toBeLessThan(2)
  })

  it('of constitutional varus stays level because MPTA falls with it (0.2 ± 2.2° there)', () => {
    expect(Math.abs(jointLineToFloor(90, 50, 3, 85.5) - 0.2)).toBeLessThan(2.2)
  })

  it('of advanced varus opens medially: lateral side down (−1.9 ± 3.5° there)', () => {
    expect(jointLineToFloor(90, 50, 10, 85)).toBeLessThan(0)
  })

  it('turns lateral side down from two legs to one (decrease 1.77°, n = 40, PMC10172862; real people sway less)', () => {
    expect(jointLineToFloor(85, 15, 0, 87)).toBeLessThan(jointLineToFloor(85, 82.5, 0, 87) - 1.77)
  })

  it('is level on the mean when JLO = 180 − 2·lean (check values §5.1): 174.27 for a lean of 2.866°', () => {
    const lean = 2.866
    expectNear(jointLineToFloor(90, 50, 0, (180 - 2 * lean) / 2), 0, { absDeg: 1e-3, because: 'lean printed to 1e-3' })
  })
})
