import { describe, expect, it } from 'vitest'
import { coronalType } from '../../src/anatomy/coronal-type.ts'

/** MacDessi et al., Bone Joint J 2021;103-B:329 (limits ±2, 177 and 183 from memory); table of check values §3. */
const boundaryTable: readonly (readonly [ldfa: number, mpta: number, type: string])[] = [
  [87, 87, 'II'],
  [88, 86, 'II'],
  [88, 85, 'I'],
  [85, 88, 'III'],
  [85, 87, 'II'],
  [90, 88, 'V'],
  [90, 92, 'V'],
  [93, 90, 'IV'],
  [88, 91, 'VI'],
  [90, 94, 'IX'],
  [90, 90, 'V'],
]

describe('the nine-type coronal class', () => {
  it.each(boundaryTable)('of LDFA %d and MPTA %d is %s', (ldfa, mpta, type) => {
    expect(coronalType(ldfa, mpta)).toBe(type)
  })

  it('puts an obliquity of exactly 177 and 183 in the middle row, and 0.01 beyond outside it', () => {
    expect(coronalType(88.5, 88.5)).toBe('V')
    expect(coronalType(91.5, 91.5)).toBe('V')
    expect(coronalType(88.5, 88.49)).toBe('II')
    expect(coronalType(91.5, 91.51)).toBe('VIII')
  })

  it('keeps the limits in the middle class when the sums round', () => {
    expect(coronalType(88.1, 86.1)).toBe('II')
    expect(coronalType(0.1 + 88.2, 88.7)).toBe('V')
  })
})
