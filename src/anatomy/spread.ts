import { seededNormal, seededRandom } from '../geometry/random.ts'
import type { ErrorGroup } from './error-sources.ts'

/** What one number owes to one group of errors. */
export interface BudgetPart {
  readonly source: ErrorGroup
  /** 1 SD of the number by this group alone, in the number's own unit. */
  readonly sd: number
  /** Of the variance of all groups together, 0…1. */
  readonly share: number
}

/** How sure one number is. */
export interface Budget {
  readonly unit: 'deg' | 'mm'
  /** 1 SD over the draws. */
  readonly sd: number
  /** Largest first; by the number's own derivative, so that the squares of their SDs add up to about `sd`². */
  readonly parts: readonly BudgetPart[]
}

/** A number's 95 % interval with what it is made of. */
export interface Spread {
  readonly interval: readonly [number, number]
  readonly budget: Budget
}

/** `draws` rows of `count` independent standard normal numbers from a seed, row by row. */
export function seededDraws(count: number, draws: number, seed: number): Float64Array {
  const normal = seededNormal(seededRandom(seed))
  const out = new Float64Array(count * draws)
  for (let i = 0; i < out.length; i++) out[i] = normal()
  return out
}

/**
 * Spread of one number: the 2.5th and 97.5th percentile of its drawn values, and its budget from what each source does to it by
 * 1 SD (`perSd`, beside the groups the sources belong to). No draws: both ends are 0.
 */
export function spreadOf(
  values: Float64Array,
  perSd: ArrayLike<number>,
  groups: readonly ErrorGroup[],
  unit: Budget['unit'],
): Spread {
  const sorted = values.slice().sort()
  const mean = values.reduce((sum, v) => sum + v, 0) / Math.max(1, values.length)
  const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, values.length - 1)
  const byGroup = new Map<ErrorGroup, number>()
  groups.forEach((group, k) => {
    byGroup.set(group, (byGroup.get(group) ?? 0) + perSd[k]! ** 2)
  })
  const total = [...byGroup.values()].reduce((sum, v) => sum + v, 0)
  const parts = [...byGroup]
    .filter(([, v]) => v > 1e-8 * total)
    .map(([source, v]) => ({ source, sd: Math.sqrt(v), share: v / total }))
    .sort((a, b) => b.sd - a.sd)
  return {
    interval: [quantile(sorted, 0.025), quantile(sorted, 0.975)],
    budget: { unit, sd: Math.sqrt(variance), parts },
  }
}

/** Quantile of sorted values, linear between them (Hyndman and Fan, Am Stat 1996;50:361, definition 7). */
function quantile(sorted: Float64Array, share: number): number {
  if (sorted.length === 0) return 0
  const at = share * (sorted.length - 1)
  const low = Math.floor(at)
  const high = Math.min(sorted.length - 1, low + 1)
  return sorted[low]! + (at - low) * (sorted[high]! - sorted[low]!)
}
