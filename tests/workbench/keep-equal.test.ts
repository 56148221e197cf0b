import fc from 'fast-check'
import { expect, test } from 'vitest'
import { keepEqual } from '../../src/workbench/live/keep-equal.ts'

test('what is kept says exactly what is new, whatever there was before', () => {
  fc.assert(
    fc.property(fc.jsonValue({ maxDepth: 4 }), fc.jsonValue({ maxDepth: 4 }), (before, next) => {
      expect(keepEqual(before, next)).toEqual(next)
    }),
    { seed: 7 },
  )
})

test('an equal answer is the earlier one itself, as are the equal parts of another', () => {
  fc.assert(
    fc.property(fc.jsonValue({ maxDepth: 4 }), (said) => {
      const before = { said, at: { mm: [1, 2, 3] } }
      expect(keepEqual(before, structuredClone(before))).toBe(before)
      const kept = keepEqual(before, { ...structuredClone(before), more: 1 })
      expect(kept.at).toBe(before.at)
      expect(kept.said).toBe(before.said)
    }),
    { seed: 7 },
  )
})

test('typed arrays, and lists where there were records, are taken as new', () => {
  const pressure = new Float32Array(3)
  expect(keepEqual({ pressure: new Float32Array(3) }, { pressure }).pressure).toBe(pressure)
  expect(keepEqual({ 0: 1 }, [1])).toEqual([1])
  expect(keepEqual([1], { 0: 1 })).toEqual({ 0: 1 })
  expect(keepEqual({ a: undefined }, { b: undefined } as object)).toEqual({ b: undefined })
})
