import { expect } from 'vitest'
import type { FailureCode, Result } from '../src/failure.ts'

type Tolerance = { readonly because: string } & (
  | { readonly absMm: number }
  | { readonly absDeg: number }
  | { readonly abs: number }
  | { readonly rel: number }
)

/** Asserts |actual − expected| within a tolerance that says why it is what it is. */
export function expectNear(actual: number, expected: number, tolerance: Tolerance): void {
  const allowed =
    'rel' in tolerance
      ? tolerance.rel * Math.abs(expected)
      : 'absMm' in tolerance
        ? tolerance.absMm
        : 'absDeg' in tolerance
          ? tolerance.absDeg
          : tolerance.abs
  const message = `${actual} is not within ${allowed} of ${expected} (${tolerance.because})`
  expect(Number.isFinite(actual), message).toBe(true)
  expect(Math.abs(actual - expected), message).toBeLessThanOrEqual(allowed)
}

export function expectFailure(result: Result<unknown>, code: FailureCode): void {
  expect(result.ok ? 'ok' : result.failure.code).toBe(code)
}

/** The value of a result that must be there; a failure fails the test with its own sentence. */
export function expectOk<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.failure.code}: ${result.failure.message} (${result.failure.place ?? ''})`)
  return result.value
}
