import { describe, expect, it } from 'vitest'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { median, missesOf } from './spoiled-legs.ts'

/** A few of the legs of the long run (`npm run check`), extreme anatomy included. */
describe.each([3, 6])('extreme demo leg %d', (seed) => {
  const leg = makeLeg(randomLegParameters(seed, { extreme: true }))

  it('is found again within 0.3°, the hip within 0.3 mm and every point within 1.5 mm', () => {
    const misses = missesOf(leg, 'clean', seed)
    expect(misses.side).toBe(true)
    expect(misses.hipMm).toBeLessThan(0.3)
    for (const [name, miss] of Object.entries(misses.anglesDeg)) expect(miss, name).toBeLessThan(0.3)
    for (const [id, miss] of Object.entries(misses.pointsMm)) expect(miss, id).toBeLessThan(1.5)
  })

  it.each(['noise', 'decimation', 'holes'] as const)(
    'spoiled by %s is found again within 1.5°, half of its angles within 0.5°',
    (how) => {
      const misses = missesOf(leg, how, seed)
      expect(misses.side).toBe(true)
      const told = Object.values(misses.anglesDeg).filter((miss) => miss !== null)
      expect(told).toHaveLength(8)
      expect(Math.max(...told)).toBeLessThan(1.5)
      expect(median(told)).toBeLessThan(0.5)
    },
  )
})
