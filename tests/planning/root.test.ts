import { expect, test } from 'vitest'
import { findRoot } from '../../src/planning/root.ts'
import { expectNear } from '../near.ts'

test('finds the zero of smooth, kinked and nearly flat functions to its tolerance', () => {
  const cases: [(x: number) => number, number][] = [
    [(x) => Math.exp(x) - 2, Math.LN2],
    [(x) => (x < 1 ? 10 * (x - 1) : 0.01 * (x - 1)), 1],
    [(x) => (x - 3) ** 3, 3],
  ]
  for (const [f, zero] of cases)
    expectNear(findRoot(f, -25, 25, 1e-12) ?? Number.NaN, zero, { abs: 1e-4, because: 'a triple zero is flat' })
  expectNear(findRoot(cases[0]![0], -25, 25, 1e-13) ?? Number.NaN, Math.LN2, { abs: 1e-12, because: 'a simple zero' })
  expectNear(findRoot(cases[1]![0], -25, 25, 1e-13) ?? Number.NaN, 1, { abs: 1e-12, because: 'a kink at the zero' })
})

test('says so when the function does not change sign or is not finite', () => {
  expect(findRoot((x) => x * x + 1, -1, 1, 1e-9)).toBeNull()
  expect(findRoot(() => Number.NaN, -1, 1, 1e-9)).toBeNull()
})

test('returns an end where the zero lies at the end', () => {
  expect(findRoot((x) => x + 1, -1, 1, 1e-12)).toBe(-1)
  expect(findRoot((x) => x - 1, -1, 1, 1e-12)).toBe(1)
})
