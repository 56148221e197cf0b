import type { AnatomyFlag } from '../anatomy/flags.ts'
import { shownWithUnit } from './numbers.ts'

/** The limit a flag was raised against: “0.0° to 12.0°”, “below 5.0°”. */
export function limitWords({ low, high, unit }: Pick<AnatomyFlag, 'low' | 'high' | 'unit'>): string {
  const at = (value: number) => shownWithUnit(value, unit)
  if (low !== null && high !== null) return `${at(low)} to ${at(high)}`
  if (high !== null) return `at most ${at(high)}`
  return low === null ? 'none' : `at least ${at(low)}`
}
