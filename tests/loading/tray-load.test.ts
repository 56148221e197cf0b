import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sideFactor } from '../../src/anatomy/terms.ts'
import { mapVector } from '../../src/geometry/rigid.ts'
import { cross, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { kneeForceN, type LoadChoices } from '../../src/loading/knee-force.ts'
import { forceAlong, type TrayAxes, trayLoad } from '../../src/loading/tray-load.ts'
import { standLeg } from '../../src/stance/stand-leg.ts'
import { expectNear, expectOk } from '../near.ts'
import { limb } from '../stance/limb-fixture.ts'

/** Tray axes in the tibia's frame: normal by projected varus and slope (conventions), medial axis in the coronal plane. */
function tray(varusDeg: number, slopeDeg: number, s: 1 | -1): TrayAxes {
  const normal = unit([-Math.tan(toRad(slopeDeg)), 1, -s * Math.tan(toRad(varusDeg))])
  const medial: Vec3 = unit([0, -Math.sin(toRad(varusDeg)), -s * Math.cos(toRad(varusDeg))])
  const posterior = cross(normal, medial)
  return { normal, medial, posterior: s === 1 ? posterior : ([-posterior[0], -posterior[1], -posterior[2]] as const) }
}

const down: Vec3 = [0, -1, 0]

describe('shear and compression under the tray', () => {
  /** Check values §5.3: MPTA of the cut, limb varus, ratio for the vertical load, ratio along the tibia. */
  const examples = [
    [90, 0, 0.0501, 0],
    [87, 0, 0.0023, 0.0524],
    [87, 3, 0.0258, 0.0524],
    [90, 3, 0.0784, 0],
    [85, 5, 0.0097, 0.0875],
  ] as const
  for (const side of ['right', 'left'] as const)
    for (const [mpta, varus, vertical, axial] of examples)
      it(`gives the ratios of check values §5.3 for a ${side} tray of MPTA ${mpta} on a limb of ${varus}° varus`, () => {
        const leg = expectOk(
          standLeg(limb(side, varus), {
            hipHalfSpacingMm: 90,
            ankleHalfSpacingMm: 50,
            footRotationDeg: 0,
            ankleHeightMm: 0,
          }),
        )
        const inTibia = tray(90 - mpta, 0, sideFactor(side))
        const axes: TrayAxes = {
          normal: mapVector(leg.stanceFromTibiaFrame, inTibia.normal),
          medial: mapVector(leg.stanceFromTibiaFrame, inTibia.medial),
          posterior: mapVector(leg.stanceFromTibiaFrame, inTibia.posterior),
        }
        const because = { abs: 1e-4, because: 'printed to four decimals' }
        const plumb = trayLoad(forceAlong(down, 1000), axes)!
        expectNear(plumb.shearToCompression, vertical, because)
        expectNear(plumb.shearCoronal, vertical, because)
        expectNear(plumb.shearSagittal, 0, { abs: 1e-12, because: 'a tray without slope' })
        const along = trayLoad(forceAlong(mapVector(leg.stanceFromTibiaFrame, down), 1000), axes)!
        expectNear(along.shearToCompression, axial, because)
      })

  it('gives tan of the total tilt for a load along the tibia, and its two parts add up as squares', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -15, max: 15, noNaN: true }),
        fc.double({ min: -10, max: 20, noNaN: true }),
        fc.constantFrom<1 | -1>(1, -1),
        fc.double({ min: 1, max: 5000, noNaN: true }),
        (varus, slope, s, size) => {
          const load = trayLoad(forceAlong(down, size), tray(varus, slope, s))!
          const exact = { abs: 1e-9, because: 'rounding only' }
          expectNear(load.shearToCompression, Math.hypot(Math.tan(toRad(varus)), Math.tan(toRad(slope))), exact)
          expectNear(Math.hypot(load.shearCoronal, load.shearSagittal), load.shearToCompression, exact)
          expectNear(Math.hypot(load.compressionN, load.shearN), size, {
            rel: 1e-12,
            because: 'nothing of the force is lost',
          })
        },
      ),
    )
  })

  it('gives a level tray under a vertical load no shear at all', () => {
    const load = trayLoad(forceAlong(down, 800), { normal: [0, 1, 0], medial: [0, 0, -1], posterior: [-1, 0, 0] })
    expect(load).toEqual({ compressionN: 800, shearN: 0, shearToCompression: 0, shearCoronal: 0, shearSagittal: 0 })
  })

  it('gives a tray level side to side no coronal shear under a vertical load, whatever its slope', () => {
    const load = trayLoad(forceAlong(down, 800), tray(0, 7, 1))!
    expectNear(load.shearCoronal, 0, { abs: 1e-12, because: 'level side to side' })
    expectNear(load.shearSagittal, Math.tan(toRad(7)), { abs: 1e-12, because: 'tan 7° = 0.12278 (check values §5.3)' })
  })

  it('has no ratio for a force that pulls the tray off or runs along it', () => {
    const axes = tray(0, 0, 1)
    expect(trayLoad([0, 100, 0], axes)).toBeNull()
    expect(trayLoad([0, 0, 100], axes)).toBeNull()
    expect(trayLoad([0, 0, 0], axes)).toBeNull()
  })
})

describe('the size of the knee force', () => {
  it('is the in-vivo share of body weight of the pose (Kutzner et al. 2010), or the entered force', () => {
    const mass: LoadChoices = {
      bodyMassKg: 75,
      forceN: null,
      activity: 'pose',
      ownLateralDeg: null,
      ownForwardDeg: null,
    }
    expectNear(kneeForceN('feet-together', mass), 1.07 * 75 * 9.80665, { rel: 1e-12, because: 'same product' })
    expectNear(kneeForceN('one-leg', mass), 2.59 * 75 * 9.80665, { rel: 1e-12, because: 'same product' })
    expect(kneeForceN('natural', { ...mass, forceN: 1234 })).toBe(1234)
  })
})
