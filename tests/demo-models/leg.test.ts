import { describe, expect, it } from 'vitest'
import { type Leg, type LegParameters, makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { boundingBox, volume } from '../../src/geometry/measure.ts'
import { expectNear } from '../near.ts'

const quick = { edgeMm: 2.5 }
const seeds = [1, 2, 3, 4]
const legs: readonly (readonly [string, LegParameters])[] = [
  ...seeds.map((seed) => [`seed ${seed}`, randomLegParameters(seed)] as const),
  ...[14, 27].map((seed) => [`extreme seed ${seed}`, randomLegParameters(seed, { extreme: true })] as const),
]

describe.each(legs)('a random leg, %s', (_name, parameters) => {
  const leg = makeLeg(parameters, quick)

  it('has closed, outward bones in one piece without spoiled triangles', () => {
    for (const mesh of [leg.femur, leg.tibia])
      expect(meshHealth(mesh)).toMatchObject({
        closed: true,
        orientation: 'outward',
        pieces: 1,
        duplicateTriangles: 0,
        degenerateTriangles: 0,
      })
  })

  it('measures the angles that were asked for', () => {
    const { angles } = leg.truth
    const near = { absDeg: 0.03, because: 'the free numbers are solved to 0.02° on a coarser grid' }
    expectNear(angles.ldfaDeg, parameters.ldfaDeg, near)
    expectNear(angles.mptaDeg, parameters.mptaDeg, near)
    expectNear(angles.slopeMedialDeg, parameters.slopeMedialDeg, near)
    expectNear(angles.slopeLateralDeg, parameters.slopeLateralDeg, near)
  })

  it('stands straight, so that both ways to the joint line convergence angle agree', () => {
    const { angles } = leg.truth
    expectNear(angles.kneePose.flexionDeg, 0, { absDeg: 1e-9, because: 'posed straight' })
    expectNear(angles.kneePose.externalRotationDeg, 0, { absDeg: 1e-9, because: 'posed without rotation' })
    expectNear(angles.jlcaLinesDeg, angles.jlcaDeg, { absDeg: 1e-9, because: 'one plane holds both lines' })
    expect(Math.abs(angles.jlcaDeg)).toBeLessThan(5)
  })

  it('keeps its bones apart', () => {
    const lowestFemur = Math.min(
      leg.truth.femur.landmarks.condyleDistalMedial[2],
      leg.truth.femur.landmarks.condyleDistalLateral[2],
    )
    const plateau = Math.max(leg.truth.tibia.landmarks.plateauMedial[2], leg.truth.tibia.landmarks.plateauLateral[2])
    expect(lowestFemur).toBeGreaterThan(plateau - 6)
    expect(boundingBox(leg.femur).min[2]).toBeGreaterThan(boundingBox(leg.tibia).max[2] - 25)
  })
})

describe('a left leg', () => {
  const table = randomLegParameters(2)
  const right = makeLeg({ ...table, side: 'right' }, quick)
  const left = makeLeg({ ...table, side: 'left' }, quick)

  it('has the angles of the right leg of the same table to the last bit', () => {
    expect(left.truth.angles).toEqual(right.truth.angles)
  })

  it('is its mirror image vertex by vertex with the winding turned', () => {
    for (const bone of ['femur', 'tibia'] as const) {
      const [a, b] = [left[bone], right[bone]]
      expect(a.positions.every((v, i) => v === (i % 3 === 0 ? -b.positions[i]! : b.positions[i]!))).toBe(true)
      expect([...a.triangles.slice(0, 3)]).toEqual([b.triangles[0], b.triangles[2], b.triangles[1]])
      expectNear(volume(a), volume(b), { rel: 1e-12, because: 'the same numbers in another order' })
    }
  })

  it('keeps right-handed frames whose Z points to the subject’s right', () => {
    for (const leg of [left, right])
      for (const { frame } of [leg.truth.femur, leg.truth.tibia]) {
        const [x, y, z] = [frame.x, frame.y, frame.z]
        const determinant =
          x[0] * (y[1] * z[2] - y[2] * z[1]) - x[1] * (y[0] * z[2] - y[2] * z[0]) + x[2] * (y[0] * z[1] - y[1] * z[0])
        expectNear(determinant, 1, { abs: 1e-12, because: 'rotation' })
        expect(z[0]).toBeLessThan(-0.9)
      }
  })

  it('lies with its medial side towards the midline', () => {
    const inside = ({ truth }: Leg, s: number) =>
      s * truth.femur.landmarks.epicondyleMedial[0] - s * truth.femur.landmarks.epicondyleLateral[0]
    expect(inside(left, -1)).toBeGreaterThan(50)
    expect(inside(right, 1)).toBeGreaterThan(50)
  })
})

describe('making a leg', () => {
  it('gives the same bytes for the same table', () => {
    const [a, b] = [makeLeg(randomLegParameters(3), quick), makeLeg(randomLegParameters(3), quick)]
    expect(a.femur.positions).toEqual(b.femur.positions)
    expect(a.truth).toEqual(b.truth)
  })
})
