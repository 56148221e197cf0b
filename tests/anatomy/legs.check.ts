import { expect, it } from 'vitest'
import { legRows } from './legs-run.ts'
import { median, spoilers } from './spoiled-legs.ts'

/** Number of extreme legs of the long run. */
const legs = Number(process.env['LEGS'] ?? 200)

it.each(spoilers)('extreme legs, %s, are found again within the limits of the issue', (how) => {
  const clean = how === 'clean'
  const angles: number[] = []
  const points: number[] = []
  let withheld = 0
  let worstHip = 0
  const rows = legRows(legs).filter((row) => row.how === how)
  expect(rows).toHaveLength(legs)
  for (const { seed, side, anglesDeg, hipMm, pointsMm } of rows) {
    expect(side, `side of leg ${seed}`).toBe(true)
    for (const miss of Object.values(anglesDeg)) {
      if (miss === null) withheld++
      else angles.push(miss)
    }
    worstHip = Math.max(worstHip, hipMm)
    points.push(...Object.values(pointsMm))
  }
  const sum = (of: 'seconds' | 'makingSeconds') => Math.round(rows.reduce((total, row) => total + row[of], 0))
  const figures = {
    check: 'anatomy/legs',
    how,
    legs,
    medianDeg: Number(median(angles).toFixed(3)),
    worstDeg: Number(Math.max(...angles).toFixed(3)),
    withheldShare: withheld / (withheld + angles.length),
    worstHipMm: Number(worstHip.toFixed(3)),
    medianPointMm: Number(median(points).toFixed(3)),
    worstPointMm: Number(Math.max(...points).toFixed(3)),
    pointsBeyondOneAndAHalfMm: points.filter((mm) => mm > 1.5).length / points.length,
    secondsOfFinding: sum('seconds'),
    secondsOfMaking: sum('makingSeconds'),
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
