import { assess } from '../assess.ts'
import { caution } from '../casefile/program.ts'
import { ok, type Result } from '../failure.ts'
import type { Findings } from '../findings.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import { type Comparison, comparisonRows } from '../report/comparison.ts'
import { findingsJson } from '../report/findings-json.ts'
import { procedureWords } from '../report/words.ts'
import type { OpenedCase } from './case-source.ts'
import { headLine } from './findings-text.ts'
import { textTable } from './text-table.ts'

/** The four recipes on the same bones; everything else of the case stays. The first recipe that fails is the failure. */
export function compareRecipes({ document, bones, warnings }: OpenedCase): Result<Comparison> {
  const all: Partial<Record<RecipeName, Findings>> = {}
  for (const recipe of recipeNames) {
    const findings = assess({ ...document, recipe }, bones, warnings)
    if (!findings.ok) return findings
    all[recipe] = findings.value
  }
  return ok(all as Comparison)
}

/** The document `floorline.compare/1`. */
export const comparisonDocument = (recipes: Comparison): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.compare/1',
  caution,
  recipes: Object.fromEntries(
    recipeNames.map((name) => {
      const findings = recipes[name]
      return [name, findings && findingsJson(findings)]
    }),
  ),
})

/** Four columns for a terminal. */
export function comparisonText(recipes: Comparison): string {
  const first = recipeNames.map((name) => recipes[name]).find((findings) => findings !== null)
  const columns = [{ title: '' }, ...recipeNames.map((title) => ({ title, align: 'right' as const }))]
  const rows = comparisonRows(recipes).map((row) => [row.words, ...recipeNames.map((name) => row.values[name])])
  const whose = first ? `${first.side.toUpperCase()} KNEE, ${procedureWords[first.procedure]}, four recipes\n\n` : ''
  return `${headLine()}${whose}${textTable(columns, rows)}`
}
