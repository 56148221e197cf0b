import { describe, expect, it } from 'vitest'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { measureAngles } from '../../src/anatomy/measure-angles.ts'
import { defaultReferences } from '../../src/anatomy/terms.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { mapPoint } from '../../src/geometry/rigid.ts'
import { distance } from '../../src/geometry/vec.ts'
import { expectNear } from '../near.ts'
import { disguised, femurOf, randomMotion, tibiaOf } from './bones.ts'

/** 20 random legs (200 extreme ones in `legs.check.ts`), LDFA and MPTA 82–93, slope 0–12, torsion, size, left and right, turned, shifted and shuffled. */
const seeds = Array.from({ length: 20 }, (_, k) => k + 1)

describe('a random demo leg, turned, shifted and shuffled', () => {
  it.each(seeds)('number %d is found again as it was made', (seed) => {
    const leg = makeLeg(randomLegParameters(seed), { edgeMm: 2.5 })
    const random = seededRandom(seed)
    const motion = randomMotion(random)
    const femur = femurOf(disguised(leg.femur, motion, random))
    const tibia = tibiaOf(disguised(leg.tibia, motion, random))
    expect(femur.side).toBe(leg.truth.side)
    expect(tibia.side).toBe(leg.truth.side)
    const hip = mapPoint(motion, leg.truth.femur.landmarks.hipCentre)
    expect(distance(femur.landmarks.hipCentre!.mm, hip)).toBeLessThan(0.3)

    const { angles, relativePose } = measureAngles(femur, tibia, { references: defaultReferences, frame: 'unknown' })
    expect(relativePose.shared).toBe(true)
    const because = 'truth is the extrema and axes of the shape itself, the mesh has 2.5 mm edges'
    const { kneePose, ...truth } = leg.truth.angles
    for (const [name, value] of Object.entries(truth))
      expectNear((angles as unknown as Record<string, number>)[name]!, value, {
        absDeg: 0.3,
        because: `${name}: ${because}`,
      })
    expectNear(angles.kneePose!.flexionDeg, kneePose.flexionDeg, { absDeg: 0.3, because })
    expectNear(angles.kneePose!.varusDeg, kneePose.varusDeg, { absDeg: 0.3, because })
    for (const along of ['lateralMm', 'anteriorMm', 'proximalMm'] as const)
      expectNear(angles.kneePose![along], kneePose[along], { absMm: 1.5, because: `${along}: two knee centres` })
  })
})
