import type { Warning } from '../failure.ts'

/**
 * The warnings that spoil the number at `path` (`stance.0.trayToFloorDeg`, `cuts.femur-distal.removedMm3`: a list whose
 * members have ids is walked by id). A spoiled path covers everything below it;
 * `*` stands for any one step, and may be left out where the step is a place in a list.
 */
export function spoiling(warnings: readonly Warning[], path: string): readonly Warning[] {
  const steps = path.split('.')
  return warnings.filter((warning) => spoilsOf(warning).some((spoil) => covers(spoil, 0, steps, 0)))
}

const split = new WeakMap<Warning, readonly (readonly string[])[]>()

/** Taken apart once: every figure in sight asks again whenever the warnings change. */
function spoilsOf(warning: Warning): readonly (readonly string[])[] {
  const known = split.get(warning) ?? warning.spoils.map((spoil) => spoil.split('.'))
  split.set(warning, known)
  return known
}

/** Whether the steps of `spoil` from `i` on cover those of `path` from `k` on. */
function covers(spoil: readonly string[], i: number, path: readonly string[], k: number): boolean {
  if (i === spoil.length) return true
  if (k === path.length) return false
  if (spoil[i] === '*' || spoil[i] === path[k]) return covers(spoil, i + 1, path, k + 1)
  return isPlace.test(path[k]!) && covers(spoil, i, path, k + 1)
}

const isPlace = /^\d+$/
