import type { Warning } from '../failure.ts'

/**
 * The warnings that spoil the number at `path` (`stance.0.trayToFloorDeg`, `cuts.femur-distal.removedMm3`: a list whose
 * members have ids is walked by id). A spoiled path covers everything below it;
 * `*` stands for any one step, and may be left out where the step is a place in a list.
 */
export function spoiling(warnings: readonly Warning[], path: string): readonly Warning[] {
  const steps = path.split('.')
  return warnings.filter((warning) => warning.spoils.some((spoil) => covers(spoil.split('.'), steps)))
}

function covers(spoil: readonly string[], path: readonly string[]): boolean {
  const [first, ...rest] = spoil
  const [step, ...below] = path
  if (first === undefined) return true
  if (step === undefined) return false
  if (first === '*' || first === step) return covers(rest, below)
  return /^\d+$/.test(step) && covers(spoil, below)
}
