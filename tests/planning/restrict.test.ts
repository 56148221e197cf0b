import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../src/geometry/random.ts'
import {
  type CoronalCuts,
  type CoronalLimits,
  type Restricted,
  ruleOfThumb,
  smallestCorrection,
} from '../../src/planning/restrict.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

const usual: CoronalLimits = { limbDeg: 3, ldfaLowDeg: 85, ldfaHighDeg: 95, mptaLowDeg: 85, mptaHighDeg: 95 }
const cost = (native: CoronalCuts, answer: CoronalCuts) =>
  Math.hypot(answer.ldfaDeg - native.ldfaDeg, answer.mptaDeg - native.mptaDeg)
const worstBreach = (a: CoronalCuts, limits: CoronalLimits) =>
  Math.max(
    limits.ldfaLowDeg - a.ldfaDeg,
    a.ldfaDeg - limits.ldfaHighDeg,
    limits.mptaLowDeg - a.mptaDeg,
    a.mptaDeg - limits.mptaHighDeg,
    Math.abs(a.mptaDeg - a.ldfaDeg) - limits.limbDeg,
  )

describe('the rule-of-thumb order', () => {
  // Check values §4.2 (computed there; the limits are common practice, no source): LDFA, MPTA → LDFA, MPTA, limb.
  test.each([
    [87, 87, 87, 87, 0],
    [88, 84, 88, 85, -3],
    [84, 86, 85, 86, 1],
    [91, 85, 91, 88, -3],
    [83, 82, 85, 85, 0],
    [84, 92, 85, 88, 3],
    [90, 83, 90, 87, -3],
    [95, 94, 95, 94, -1],
  ])('takes LDFA %d, MPTA %d to %d, %d, limb %d', (ldfaDeg, mptaDeg, ldfa, mpta, limb) => {
    const answer = expectOk(ruleOfThumb({ ldfaDeg, mptaDeg }, usual))
    const exact = { absDeg: 1e-12, because: 'small whole numbers' }
    expectNear(answer.ldfaDeg, ldfa, exact)
    expectNear(answer.mptaDeg, mpta, exact)
    expectNear(answer.mptaDeg - answer.ldfaDeg, limb, exact)
  })

  test('corrects the femur only where the tibia has reached its own limit', () => {
    // Conventions, extra rows: MPTA limited to 85…88.
    const answer = expectOk(ruleOfThumb({ ldfaDeg: 94, mptaDeg: 86 }, { ...usual, mptaHighDeg: 88 }))
    expect([answer.ldfaDeg, answer.mptaDeg]).toEqual([91, 88])
    expect(answer.steps).toEqual([
      { limit: 'limb', bone: 'tibia', deg: 2 },
      { limit: 'limb', bone: 'femur', deg: -3 },
    ])
  })
})

test('limits that contradict each other are refused with the reason by both answers', () => {
  // Conventions, extra rows: MPTA at most 84 with LDFA at least 90.
  const limits: CoronalLimits = { limbDeg: 3, ldfaLowDeg: 90, ldfaHighDeg: 95, mptaLowDeg: 80, mptaHighDeg: 84 }
  for (const answer of [ruleOfThumb, smallestCorrection]) {
    const result = answer({ ldfaDeg: 88, mptaDeg: 87 }, limits)
    expectFailure(result, 'plan/infeasible')
    if (!result.ok) expect(result.failure.message).toMatch(/no pair of cuts/)
  }
})

describe('over 10,000 random knees and limits', () => {
  const random = seededRandom(20)
  const between = (low: number, high: number) => low + (high - low) * random()
  const knees = Array.from({ length: 10_000 }, (_, i) => {
    const wide = i % 2 === 0
    const native = { ldfaDeg: between(76, 102), mptaDeg: between(76, 102) }
    if (!wide) return { native, limits: usual }
    const ldfaLowDeg = between(82, 90)
    const mptaLowDeg = between(80, 90)
    const limits: CoronalLimits = {
      limbDeg: between(0, 6),
      ldfaLowDeg,
      ldfaHighDeg: ldfaLowDeg + between(0, 12),
      mptaLowDeg,
      mptaHighDeg: mptaLowDeg + between(0, 12),
    }
    return { native, limits }
  })
  const answered = knees.flatMap(({ native, limits }) => {
    const thumb = ruleOfThumb(native, limits)
    const least = smallestCorrection(native, limits)
    expect(thumb.ok).toBe(least.ok)
    return thumb.ok && least.ok ? [{ native, limits, thumb: thumb.value, least: least.value }] : []
  })

  test('some limits are feasible and some are not', () => {
    expect(answered.length).toBeGreaterThan(5000)
    expect(answered.length).toBeLessThan(10_000)
  })

  test('both answers hold every limit', () => {
    for (const { limits, thumb, least } of answered) {
      expect(worstBreach(thumb, limits)).toBeLessThanOrEqual(1e-9)
      expect(worstBreach(least, limits)).toBeLessThanOrEqual(1e-9)
    }
  })

  test('the smallest correction never exceeds the rule of thumb and is strictly smaller somewhere', () => {
    let strictly = 0
    for (const { native, thumb, least } of answered) {
      expect(cost(native, least)).toBeLessThanOrEqual(cost(native, thumb) + 1e-12)
      if (cost(native, least) < cost(native, thumb) - 0.1) strictly++
    }
    expect(strictly).toBeGreaterThan(100)
  })

  test('no feasible point found by dense search is nearer than the smallest correction', () => {
    for (const { native, limits, least } of answered.slice(0, 60)) {
      let nearest = Number.POSITIVE_INFINITY
      for (let i = 0; i <= 120; i++) {
        for (let j = 0; j <= 120; j++) {
          const at = {
            ldfaDeg: limits.ldfaLowDeg + (i / 120) * (limits.ldfaHighDeg - limits.ldfaLowDeg),
            mptaDeg: limits.mptaLowDeg + (j / 120) * (limits.mptaHighDeg - limits.mptaLowDeg),
          }
          if (worstBreach(at, limits) <= 0) nearest = Math.min(nearest, cost(native, at))
        }
      }
      expect(cost(native, least)).toBeLessThanOrEqual(nearest + 1e-9)
    }
  })

  test('the steps add up to the whole correction and never move a bone to and fro', () => {
    const sum = (answer: Restricted, bone: string) =>
      answer.steps.filter((s) => s.bone === bone).reduce((total, s) => total + s.deg, 0)
    const exact = { absDeg: 1e-9, because: 'sums of a few angles near 90' }
    for (const { native, least } of answered) {
      expectNear(sum(least, 'femur'), least.ldfaDeg - native.ldfaDeg, exact)
      expectNear(sum(least, 'tibia'), least.mptaDeg - native.mptaDeg, exact)
    }
  })

  test('inside all limits nothing is corrected', () => {
    for (const { native, limits, thumb, least } of answered) {
      if (worstBreach(native, limits) > 0) continue
      expect(thumb.steps).toEqual([])
      expect(least.steps).toEqual([])
    }
  })
})
