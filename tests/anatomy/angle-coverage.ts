import type { LegTruth } from '../../demo-models/leg.ts'
import type { KneeAnatomy } from '../../src/anatomy/error-sources.ts'
import { defaultReferences } from '../../src/anatomy/terms.ts'
import { newCase } from '../../src/casefile/document.ts'
import { intervalsOf } from '../../src/planning/uncertainty.ts'
import { expectOk } from '../near.ts'

/** Angles whose truth the generator tells, and whose intervals are held against it. */
export const coveredAngles = [
  'hkaDeg',
  'ldfaDeg',
  'mptaDeg',
  'jlcaDeg',
  'slopeMedialDeg',
  'slopeLateralDeg',
  'posteriorCondylarDeg',
] as const
export type CoveredAngle = (typeof coveredAngles)[number]

/** One angle of one leg: its 95 % interval beside the truth, degrees. */
export interface Covered {
  readonly angle: CoveredAngle
  readonly low: number
  readonly high: number
  readonly truth: number
}

/** The intervals of a knee's angles beside the truth; withheld angles are left out. 400 draws know the ends to about a tenth of an SD. */
export function coveredBy(knee: KneeAnatomy, truth: LegTruth, seed: number, draws = 400): readonly Covered[] {
  const { intervals } = expectOk(
    intervalsOf({ knee, shared: true, references: defaultReferences, choices: newCase.uncertainty, seed }, draws),
  )
  return coveredAngles.flatMap((angle) => {
    const interval = intervals[`angles.${angle}`]
    return interval ? [{ angle, low: interval[0], high: interval[1], truth: truth.angles[angle] }] : []
  })
}

export const holds = ({ low, high, truth }: Covered): boolean => truth >= low && truth <= high

export interface Coverage {
  readonly count: number
  /** Share of the intervals that hold the truth. */
  readonly within: number
  readonly medianHalfWidthDeg: number
  /** 95th percentile of |middle − truth| over the half width: 1 where the interval is as wide as it should be. */
  readonly widthsOff95: number
}

export function coverageOf(rows: readonly Covered[]): Coverage {
  const half = ({ low, high }: Covered) => (high - low) / 2
  const off = (row: Covered) => Math.abs((row.low + row.high) / 2 - row.truth) / Math.max(1e-9, half(row))
  const at = (values: readonly number[], share: number) =>
    values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(share * values.length))] ?? 0
  return {
    count: rows.length,
    within: rows.filter(holds).length / Math.max(1, rows.length),
    medianHalfWidthDeg: at(rows.map(half), 0.5),
    widthsOff95: at(rows.map(off), 0.95),
  }
}
