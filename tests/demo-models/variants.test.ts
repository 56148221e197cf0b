import { describe, expect, it } from 'vitest'
import { makeLeg } from '../../demo-models/leg.ts'
import { decimated, noisy, truncated, withHoles } from '../../demo-models/variants.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { triangleCount } from '../../src/geometry/mesh.ts'
import { expectNear } from '../near.ts'

const { tibia } = makeLeg({}, { edgeMm: 2.5 })

describe('spoiled copies of a bone', () => {
  it('noise moves the vertices by the asked root mean square, repeatably, and leaves the surface closed', () => {
    const spoiled = noisy(tibia, 0.4, 5)
    const moved = spoiled.positions.reduce((sum, v, i) => sum + (v - tibia.positions[i]!) ** 2, 0)
    expectNear(Math.sqrt(moved / (tibia.positions.length / 3)), 0.4, { abs: 1e-9, because: 'scaled to it' })
    expect(noisy(tibia, 0.4, 5).positions).toEqual(spoiled.positions)
    expect(meshHealth(spoiled).closed).toBe(true)
  })

  it('holes open the surface in as many loops as were asked, or fewer where two meet', () => {
    const health = meshHealth(withHoles(tibia, 4, 6, 9))
    expect(health.closed).toBe(false)
    expect(health.boundaryLoops.length).toBeGreaterThanOrEqual(1)
    expect(health.boundaryLoops.length).toBeLessThanOrEqual(6)
  })

  it('merging into cubes leaves a fraction of the triangles', () => {
    expect(triangleCount(decimated(tibia, 6))).toBeLessThan(triangleCount(tibia) / 3)
  })

  it('truncation keeps one open piece between the two heights', () => {
    const health = meshHealth(truncated(tibia, [0, 0, 1], 350, 900))
    expect(health).toMatchObject({ closed: false, pieces: 1 })
  })
})

describe('osteophytes and wear', () => {
  it('add to and take from the bone without opening it', () => {
    for (const leg of [makeLeg({ osteophyteMm: 3 }, { edgeMm: 2 }), makeLeg({ medialWearMm: 2 }, { edgeMm: 2 })])
      for (const mesh of [leg.femur, leg.tibia]) expect(meshHealth(mesh)).toMatchObject({ closed: true, pieces: 1 })
  })

  it('wear sinks the medial side: more tibial and femoral varus is asked for and still reached', () => {
    const worn = makeLeg({ medialWearMm: 2, mptaDeg: 84, ldfaDeg: 89 }, { edgeMm: 4 }).truth.angles
    expectNear(worn.mptaDeg, 84, { absDeg: 0.03, because: 'solved' })
    expectNear(worn.ldfaDeg, 89, { absDeg: 0.03, because: 'solved' })
  })
})
