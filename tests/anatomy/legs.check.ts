import { expect, it } from 'vitest'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { median, missesOf, spoilers } from './spoiled-legs.ts'

/** Number of extreme legs of the long run. */
const legs = Number(process.env['LEGS'] ?? 200)

it.each(spoilers)('extreme legs, %s, are found again within the limits of the issue', (how) => {
  const clean = how === 'clean'
  const angles: number[] = []
  let withheld = 0
  let worstHip = 0
  let worstPoint = 0
  for (let seed = 1; seed <= legs; seed++) {
    const misses = missesOf(makeLeg(randomLegParameters(seed, { extreme: true })), how, seed)
    expect(misses.side, `side of leg ${seed}`).toBe(true)
    for (const miss of Object.values(misses.anglesDeg)) {
      if (miss === null) withheld++
      else angles.push(miss)
    }
    worstHip = Math.max(worstHip, misses.hipMm)
    worstPoint = Math.max(worstPoint, ...Object.values(misses.pointsMm))
  }
  const figures = {
    check: 'anatomy/legs',
    how,
    legs,
    medianDeg: Number(median(angles).toFixed(3)),
    worstDeg: Number(Math.max(...angles).toFixed(3)),
    withheldShare: withheld / (withheld + angles.length),
    worstHipMm: Number(worstHip.toFixed(3)),
    worstPointMm: Number(worstPoint.toFixed(3)),
  }
  console.log(`CHECK ${JSON.stringify(figures)}`)
  expect(figures.medianDeg).toBeLessThanOrEqual(clean ? 0.15 : 0.5)
  expect(figures.worstDeg).toBeLessThanOrEqual(clean ? 0.5 : 1.5)
  expect(figures.withheldShare).toBeLessThanOrEqual(clean ? 0 : 0.1)
  if (clean) {
    expect(figures.worstHipMm).toBeLessThanOrEqual(0.3)
    expect(figures.worstPointMm).toBeLessThanOrEqual(1.5)
  }
})
