import { describe, expect, test } from 'vitest'
import { Settling } from '../../src/anatomy/settling.ts'

describe('a frame that is rebuilt round after round', () => {
  test('ends as soon as it moves less than enough', () => {
    const settling = new Settling(1e-6, 80)
    expect([1, 0.1, 0.01, 1e-7].map((moved) => settling.ends(moved))).toEqual([false, false, false, true])
    expect(settling.half).toBe(false)
  })

  test('goes on with whole steps while each way is shorter than the one two before', () => {
    const settling = new Settling(1e-9, 80)
    for (let round = 0; round < 39; round++) expect(settling.ends(0.9 ** round)).toBe(false)
    expect(settling.half).toBe(false)
  })

  test('takes half steps when two readings alternate, and ends when half steps alternate too', () => {
    const settling = new Settling(1e-9, 80)
    const rounds = Array.from({ length: 5 }, (_, k) => settling.ends(k % 2 === 0 ? 0.002 : 0.0021))
    expect(rounds.every((ended) => !ended)).toBe(true)
    expect(settling.half).toBe(true)
    expect([0, 1, 2, 3].map(() => settling.ends(0.0005)).includes(true)).toBe(false)
    expect(settling.ends(0.0005)).toBe(true)
  })

  test('ends where it only trembles, and not where it still comes to rest quickly', () => {
    const trembling = new Settling(1e-9, 80, 0.003)
    expect([0.01, 0.0023, 0.0021, 0.002].map((moved) => trembling.ends(moved))).toEqual([false, false, false, true])
    const resting = new Settling(1e-9, 80, 0.003)
    expect([0.0029, 0.002, 0.0014, 0.001].some((moved) => resting.ends(moved))).toBe(false)
  })

  test('never goes beyond the given number of rounds', () => {
    const settling = new Settling(0, 10)
    let rounds = 0
    while (!settling.ends(2 ** -rounds)) rounds++
    expect(rounds).toBe(10)
  })

  test('leaps to where the sum of the rounds leads when each moves by the same part of the one before', () => {
    const settling = new Settling(1e-9, 80)
    // What is still to go shrinks by a tenth a round.
    let toGo = 1
    let rounds = 0
    while (!settling.ends(0.1 * toGo)) {
      toGo -= 0.1 * toGo * settling.step()
      rounds++
    }
    expect(rounds).toBeLessThan(8)
    expect(Math.abs(toGo)).toBeLessThan(1e-8)
  })
})
