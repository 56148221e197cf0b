import { describe, expect, it } from 'vitest'
import { heightField } from '../../src/anatomy/height-field.ts'
import { plateauPatch } from '../../src/anatomy/plateau-patch.ts'
import { plateauRegions } from '../../src/anatomy/plateau-region.ts'
import type { Flat } from '../../src/anatomy/tibial-contours.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'
import { toDeg, toRad } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { graph } from './graph.ts'

/** Outline of a tibia as an ellipse 76 mm wide and 50 mm deep about the origin; its middle and width are its axes. */
const outline: readonly Flat[] = Array.from({ length: 360 }, (_, k): Flat => {
  const angle = toRad(k)
  return [25 * Math.cos(angle), 38 * Math.sin(angle)]
})
const field = (height: (x: number, z: number) => number, step = 0.5) =>
  heightField(graph(height, 42, 0.5), 'above', { x: [-30, 30], z: [-42, 42], y: [-90, 90] }, step, 1)!
const slopeOf = (normal: readonly [number, number, number]) => toDeg(Math.atan(-normal[0] / normal[1]))

describe('the regions of both plateaus', () => {
  it('leave out border and middle and count places between whole', () => {
    const { medial, lateral } = plateauRegions(outline)
    expect(lateral(0, 20)).toBe(1)
    expect(medial(0, -20)).toBe(1)
    expect(lateral(0, -20)).toBe(0)
    expect(lateral(0, 9.8)).toBe(0)
    expect(lateral(0, 34.5)).toBe(0)
    expect(lateral(40, 20)).toBe(0)
    // Half way of either band: cubic ramps are one half in their middle.
    expectNear(lateral(0, 0.17 * 76), 0.5, { abs: 1e-6, because: 'middle of the band about the spines' })
    expectNear(lateral(0, 38 - 0.085 * 76), 0.5, { abs: 0.03, because: 'distances are linear on a 2 mm grid' })
  })
})

describe('the patch of a plateau', () => {
  const { medial, lateral } = plateauRegions(outline)

  it('of a tilted plane is the plane, whatever rim, spine and grid', () => {
    const plate = (x: number, z: number) => {
      const rim = Math.max(0, Math.hypot(x / 25, z / 38) - 0.92) * 60
      const spine = Math.max(0, 6 - Math.abs(z)) * 2
      return Math.tan(toRad(8)) * x + 0.03 * z + rim + spine
    }
    for (const step of [0.4, 0.5, 0.8])
      for (const region of [medial, lateral]) {
        const patch = plateauPatch(field(plate, step), region, 4)!
        expectNear(slopeOf(patch.normal), 8, { absDeg: 1e-6, because: 'rim and spine lie outside of the region' })
        expectNear(patch.rmsMm, 0, { absMm: 1e-6, because: 'it is a plane' })
      }
  })

  it('of a dome stays under its region: the slope is that of the dome at the middle of the region', () => {
    const radius = 60
    const dome = (x: number, z: number) => -((x + 4) ** 2 + (z - 20) ** 2) / (2 * radius)
    const patch = plateauPatch(field(dome), lateral, 4)!
    expectNear(slopeOf(patch.normal), toDeg(Math.atan(-(patch.point[0] + 4) / radius)), {
      absDeg: 0.25,
      because: 'a parabola over a region that is the same in front and behind; areas weigh a little unevenly',
    })
  })

  it('moves no more than the noise allows when the surface of a dome does', () => {
    const normal = seededNormal(seededRandom(7))
    const dome = (x: number, z: number) => -(x * x + (z - 20) ** 2) / 80
    // Bumps 6 mm apart, as a coarse mesh makes them.
    const heights = Array.from({ length: 400 }, () => 0.3 * normal())
    const bump = (x: number, z: number) => heights[(Math.round(x / 6) + 10) * 20 + Math.round(z / 6) + 10] ?? 0
    const calm = plateauPatch(field(dome), lateral, 4)!
    const rough = plateauPatch(
      field((x, z) => dome(x, z) + bump(x, z)),
      lateral,
      4,
    )!
    expectNear(slopeOf(rough.normal), slopeOf(calm.normal), {
      absDeg: 1,
      because: 'some 25 bumps of 0.3 mm, 8 mm from their middle (RMS), turn a plane by 0.4° (1 SD)',
    })
  })

  it('is null where nothing of the region is seen', () => {
    const beside = heightField(
      graph(() => 0, 5, 1),
      'above',
      { x: [-5, 5], z: [-5, 5], y: [-9, 9] },
      0.5,
      1,
    )!
    expect(plateauPatch(beside, lateral, 4)).toBeNull()
  })
})
