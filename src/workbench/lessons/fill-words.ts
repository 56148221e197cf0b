import type { Prediction } from '../../casefile/lesson.ts'
import type { Findings } from '../../findings.ts'
import { spoiling } from '../../report/spoiled.ts'
import { formatQuantity, type Quantity } from '../text/format.ts'

/** A lesson's words with its `{{paths}}` replaced by the numbers of these findings; what is not there says so. */
export function fillWords(words: string, findings: Findings | null): string {
  return words.replaceAll(/\{\{([^}]+)\}\}/g, (_whole, path: string) => numberAt(path.trim(), findings))
}

/** Which of a question's answers these findings make right; null while the number is not there. */
export function rightAnswer({ right }: Prediction, findings: Findings | null): number | null {
  const value = findings ? valueAt(findings, right.path.split('.')) : null
  if (typeof value !== 'number') return null
  const first = right.above.findIndex((threshold) => value > threshold)
  return first < 0 ? right.above.length : first
}

function numberAt(path: string, findings: Findings | null): string {
  const value = findings ? valueAt(findings, path.split('.')) : null
  if (!findings || typeof value !== 'number') return '(not known)'
  const shown = formatQuantity(value, quantityOf(path))
  return spoiling(findings.warnings, path).length > 0 ? `${shown} (see warnings)` : shown
}

/** Steps through objects by name and through lists by number, or by the `id`, `pose` or `direction` of an entry. */
function valueAt(at: unknown, steps: readonly string[]): unknown {
  const [step, ...rest] = steps
  if (step === undefined) return at
  if (Array.isArray(at)) {
    const named = at.filter((entry) => [entry?.id, entry?.pose, entry?.direction].includes(step))
    if (named.length === 1) return valueAt(named[0], rest)
    if (named.length > 1) return valueAt(named, rest)
    return valueAt(at[Number(step)], rest)
  }
  if (typeof at !== 'object' || at === null) return undefined
  return valueAt((at as Record<string, unknown>)[step], rest)
}

function quantityOf(path: string): Quantity {
  if (/Deg$/.test(path)) return 'deg'
  if (/Mm3$/.test(path)) return 'cm3'
  if (/Mm2$/.test(path)) return 'mm2'
  if (/Mm$/.test(path)) return 'mm'
  if (/Mpa$/.test(path)) return 'MPa'
  if (/Share$/.test(path)) return 'percent'
  if (/N$/.test(path)) return 'N'
  return 'ratio'
}
