import type { ErrorGroup } from '../anatomy/error-sources.ts'
import { landmarkWords } from '../anatomy/landmark-words.ts'
import type { Findings } from '../findings.ts'
import { noNumber, type Quantity, shown } from './numbers.ts'

type WithIntervals = Pick<Findings, 'intervals' | 'uncertainty'>

/** Half the width of a number's 95 % interval, in its own unit; null where it has none. */
export function plusMinus({ intervals }: WithIntervals, path: string): number | null {
  const interval = intervals?.[path]
  return interval ? (interval[1] - interval[0]) / 2 : null
}

/** “±1.2”, or a dash where there is no interval. */
export function shownPlusMinus(findings: WithIntervals, path: string, quantity: Quantity): string {
  const half = plusMinus(findings, path)
  return half === null ? noNumber : `±${shown(half, quantity)}`
}

/** One line of a number's budget. */
export interface BudgetLine {
  readonly words: string
  /** 95 % of the number by this alone, half the width, in its own unit. */
  readonly plusMinus: number
  /** Of the variance, 0…1. */
  readonly share: number
}

/** What a number's interval is made of, largest first; less than a hundredth of the variance is left out. */
export function budgetLines({ uncertainty }: WithIntervals, path: string): readonly BudgetLine[] {
  const parts = uncertainty?.budgets[path]?.parts ?? []
  return parts
    .filter(({ share }) => share >= 0.01)
    .map(({ source, sd, share }) => ({ words: sourceWords(source), plusMinus: 1.96 * sd, share }))
}

export const sourceWords = (source: ErrorGroup): string =>
  source === 'meshSurface'
    ? 'meshed surface'
    : source === 'cutShaft'
      ? 'axis of the cut-off shaft'
      : landmarkWords[source]
