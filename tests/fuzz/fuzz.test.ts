import { expect, it } from 'vitest'
import { fuzz } from './session.ts'

it('3,000 mutated STL and PLY files end in a sound mesh or a full failure, each within 2 s', () => {
  // npm run fuzz does the same with 200,000.
  const tally = fuzz(1, 3000)
  expect(tally.unhandled).toEqual([])
  expect(tally.inputs).toBe(3000)
  expect(tally.slowestMs, tally.slowest).toBeLessThan(2000)
  expect(tally.withFaces).toBeGreaterThan(300)
  expect(Object.keys(tally.failures).length).toBeGreaterThan(6)
}, 60_000)
