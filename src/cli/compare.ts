import { caution } from '../casefile/program.ts'
import { ok, type Result } from '../failure.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import { comparedCsv, comparedSvg, comparedValue, comparedWords } from '../report/compared.ts'
import { findingsJson } from '../report/findings-json.ts'
import { outputWords } from '../report/output-words.ts'
import { procedureWords } from '../report/words.ts'
import {
  type ComparedRow,
  comparedRows,
  compareRecipes,
  type RecipeResults,
  usualComparison,
} from '../studies/compare-recipes.ts'
import { type CaseOptions, openCase } from './case-source.ts'
import { headLine } from './findings-text.ts'
import { textTable } from './text-table.ts'
import { writeChart } from './write-chart.ts'

export interface CompareOptions {
  readonly baseline?: RecipeName
  readonly output: readonly string[]
  readonly asRecipesSay?: boolean
  /** Whole findings are printed then, intervals with them. */
  readonly json?: boolean
  readonly chart?: string
  readonly out?: string
  readonly force?: boolean
}

export interface Compared {
  readonly results: RecipeResults
  readonly rows: readonly ComparedRow[]
  readonly baseline: RecipeName | null
}

/**
 * The four recipes on the same bones, chosen outputs side by side; a recipe that cannot be planned is its failure, and the
 * first failure is the command's when none can. Tables and drawings are written where asked for.
 */
export async function compareCase(
  caseFile: string | undefined,
  options: CaseOptions & CompareOptions,
): Promise<Result<Compared>> {
  const opened = await openCase(caseFile, options)
  if (!opened.ok) return opened
  const { document, bones, warnings } = opened.value
  const results = compareRecipes(document, bones, warnings, {
    asRecipesSay: options.asRecipesSay === true,
    withIntervals: options.json === true,
  })
  const first = results[recipeNames[0]]
  if (!first.ok && recipeNames.every((name) => !results[name].ok)) return first
  const names = options.output.length > 0 ? options.output : usualComparison
  const baseline = options.baseline ?? null
  const { pose } = document.stance
  const rows = comparedRows(results, names, baseline, pose)
  if (!rows.ok) return rows
  for (const [path, make] of [
    [options.out, comparedCsv],
    [options.chart, comparedSvg],
  ] as const) {
    if (path === undefined) continue
    const text = make(results, names, baseline, pose)
    const written = await writeChart(path, text, options.force === true)
    if (!written.ok) return written
  }
  return ok({ results, rows: rows.value, baseline })
}

/** The document `floorline.compare/1`: whole findings per recipe (or its failure), and the chosen outputs as a table. */
export const comparisonDocument = ({ results, rows, baseline }: Compared): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.compare/1',
  caution,
  recipes: Object.fromEntries(
    recipeNames.map((name) => {
      const result = results[name]
      return [name, result.ok ? findingsJson(result.value) : { failure: result.failure }]
    }),
  ),
  baseline,
  rows,
})

/** Four columns for a terminal; differences to the baseline in brackets. */
export function comparisonText({ results, rows, baseline }: Compared): string {
  const first = recipeNames.map((name) => results[name]).find((result) => result.ok)
  const columns = [
    { title: baseline === null ? '' : `(less ${baseline})` },
    ...recipeNames.map((title) => ({ title, align: 'right' as const })),
  ]
  const cells = rows.map((row) => [
    outputWords(row.name),
    ...recipeNames.map((name) => {
      const value = comparedWords(row, name)
      return baseline === null || name === baseline
        ? value
        : `${value} (${comparedValue(row, row.differences[name], true)})`
    }),
  ])
  const whose = first?.ok
    ? `${first.value.side.toUpperCase()} KNEE, ${procedureWords[first.value.procedure]}, four recipes\n\n`
    : ''
  const refused = recipeNames
    .map((name) => [name, results[name]] as const)
    .map(([name, result]) => (result.ok ? '' : `  ${name}: ${result.failure.message}\n`))
    .join('')
  return `${headLine()}${whose}${textTable(columns, cells)}${refused}`
}
