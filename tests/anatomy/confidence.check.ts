import { mkdirSync, writeFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { type Covered, coverageOf, coveredAngles } from './angle-coverage.ts'
import { calibration, calibrationSvg, type Judgement } from './calibration.ts'
import { degradations, judgementsOf } from './degraded-legs.ts'

/** Shapes of the long run; each is looked at in every state of `degradations`. None of them was used to fit the error model. */
const shapes = Number(process.env['SHAPES'] ?? 20)
const firstSeed = 101

it('a landmark lies within twice its assumed scatter about as often as its confidence says, and intervals hold the truth', () => {
  const all: Judgement[] = []
  const covered: (Covered & { readonly how: string })[] = []
  let refused = 0
  for (let seed = firstSeed; seed < firstSeed + shapes; seed++) {
    const leg = makeLeg(randomLegParameters(seed, { extreme: seed % 3 === 0 }), { edgeMm: 3.2 })
    degradations.forEach((how, k) => {
      const { judgements, refused: none, covered: own } = judgementsOf(leg, how, 100 * seed + k)
      all.push(...judgements)
      covered.push(...own.map((row) => ({ ...row, how: `noise ${how.noiseMm} mm, cells ${how.cellMm} mm` })))
      refused += none
    })
  }
  const result = calibration(all)
  const angles = coveredAngles.map((angle) => ({
    angle,
    ...rounded(coverageOf(covered.filter((row) => row.angle === angle))),
  }))
  const states = [...new Set(covered.map(({ how }) => how))].map((how) => ({
    how,
    ...rounded(coverageOf(covered.filter((row) => row.how === how))),
  }))
  const figures = {
    check: 'anatomy/confidence',
    legs: shapes * degradations.length,
    landmarks: all.length,
    bonesRefused: refused,
    expectedCalibrationError: Number(result.meanGap.toFixed(3)),
    withinWhenSure: Number(result.byWord.sure.within.toFixed(3)),
    withinWhenFair: Number(result.byWord.fair.within.toFixed(3)),
    withinWhenDoubtful: Number(result.byWord.doubtful.within.toFixed(3)),
    shareSure: Number((result.byWord.sure.count / all.length).toFixed(3)),
    intervals: covered.length,
    intervalsHold: Number(coverageOf(covered).within.toFixed(3)),
    intervalsHoldAtWorst: Math.min(...states.map(({ within }) => within)),
  }
  console.log(`CHECK ${JSON.stringify(figures)}`)
  const folder = new URL('../../assets/calibration/', import.meta.url)
  mkdirSync(folder, { recursive: true })
  writeFileSync(
    new URL('confidence.json', folder),
    `${JSON.stringify({ ...figures, bins: result.bins, angles, states }, null, 2)}\n`,
  )
  writeFileSync(new URL('confidence.svg', folder), calibrationSvg(result, figures.legs))
  expect(result.byWord.sure.within).toBeGreaterThan(result.byWord.fair.within)
  expect(result.byWord.fair.within).toBeGreaterThan(result.byWord.doubtful.within)
  expect(result.byWord.sure.within).toBeGreaterThanOrEqual(0.95)
  expect(result.meanGap).toBeLessThanOrEqual(0.05)
  for (const { angle, within } of angles) expect(within, angle).toBeGreaterThanOrEqual(0.95)
  for (const { how, within } of states) expect(within, how).toBeGreaterThanOrEqual(0.9)
})

const rounded = <T extends object>(values: T): T =>
  Object.fromEntries(Object.entries(values).map(([key, value]) => [key, Number((value as number).toFixed(3))])) as T
