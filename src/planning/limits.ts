import type { Limit } from './planned.ts'

/**
 * A value against bounds: inside them (to rounding), `caution` up to `marginal` beyond, `beyond` farther out. Inside an entered
 * limit is not a recommendation.
 */
export function judge(id: string, value: number, low: number, high: number, marginal: number, basis: string): Limit {
  const out = Math.max(low - value, value - high)
  const status = out <= rounding ? 'inside' : out <= marginal ? 'caution' : 'beyond'
  return { id, value, low, high, status, basis }
}

export const commonPractice = 'common practice, editable'

const rounding = 1e-9
