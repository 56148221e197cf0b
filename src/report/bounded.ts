import type { BoneName } from '../anatomy/terms.ts'
import type { Findings } from '../findings.ts'
import { type Quantity, shown } from './numbers.ts'

/**
 * The bound that must stand beside a volume of this bone, mm³; undefined for a closed bone, whose volumes are exact. A
 * volume that is withheld has none.
 */
export function boundBeside(
  findings: Pick<Findings, 'bones'>,
  bone: BoneName,
  boundMm3: number | null,
): number | undefined {
  return findings.bones[bone].closed || boundMm3 === null ? undefined : boundMm3
}

/** A number with its bound: “12.3 ± 0.4”; bare where there is none to say, a dash where there is no number. */
export function shownBounded(
  value: number | null,
  quantity: Quantity,
  bound: number | undefined,
  signed = false,
): string {
  const words = shown(value, quantity, signed)
  return value === null || bound === undefined ? words : `${words} ± ${shown(bound, quantity)}`
}
