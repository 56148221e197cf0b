import type { Warning } from '../../failure.ts'

/** Why a number of the findings must not be trusted, or null. `path` as in `angles.hkaDeg`; a spoiled parent spoils its children. */
export function spoiledBy(warnings: readonly Warning[], path: string): string | null {
  const reasons = warnings.filter((warning) => warning.spoils.some((spoiled) => covers(spoiled, path)))
  return reasons.length > 0 ? reasons.map((warning) => warning.message).join(' ') : null
}

/** `stance.*.trayToFloorCoronalDeg` covers that number in every stance; `stance` covers all of them. */
function covers(spoiled: string, path: string): boolean {
  const a = segments(spoiled)
  const b = segments(path)
  return a.length <= b.length && a.every((part, k) => part === b[k] || part === '*' || part === '')
}

const segments = (path: string): string[] => path.replaceAll(/\[([^\]]*)\]/g, '.$1').split('.')
