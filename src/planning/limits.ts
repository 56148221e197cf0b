import type { Warning } from '../failure.ts'
import type { Limit } from './planned.ts'

/**
 * A value against bounds: inside them (to rounding), `caution` up to `marginal` beyond, `beyond` farther out. Inside an entered
 * limit is not a recommendation. A value that is withheld (null) is not judged: its status is null too.
 */
export function judge(
  id: string,
  value: number | null,
  low: number,
  high: number,
  marginal: number,
  basis: string,
): Limit {
  if (value === null) return { id, value, low, high, status: null, basis }
  const out = Math.max(low - value, value - high)
  const status = out <= rounding ? 'inside' : out <= marginal ? 'caution' : 'beyond'
  return { id, value, low, high, status, basis }
}

/** One warning for the limits whose number is withheld; none when every limit is judged. */
export function unjudged(limits: readonly Limit[]): readonly Warning[] {
  const missing = limits.flatMap(({ id, value }, i) => (value === null ? [{ id, i }] : []))
  if (missing.length === 0) return []
  const names = missing.map(({ id }) => id).join(', ')
  return [
    {
      code: 'plan/limit-withheld',
      message: `The number behind the limit ${names} is withheld, so that limit is not judged.`,
      spoils: missing.flatMap(({ i }) => [`limits.${i}.value`, `limits.${i}.status`]),
    },
  ]
}

/** A limit whose number is known. */
export type JudgedLimit = Limit & { readonly value: number; readonly status: NonNullable<Limit['status']> }

/** Only the limits whose number is known, in their order. */
export const judgedLimits = (limits: readonly Limit[]): readonly JudgedLimit[] =>
  limits.filter((limit): limit is JudgedLimit => limit.value !== null)

export const commonPractice = 'common practice, editable'

const rounding = 1e-9
