import type { LoadSeries } from '../studies/load-series.ts'
import type { StudyCell, StudyColumn, Sweep } from '../studies/sweep.ts'
import { assumptionLines, csvText } from './csv.ts'
import { type CsvFormat, plainCsv } from './csv-format.ts'

/** A sweep as CSV: the same bytes from window and command line. */
export function sweepCsv({ vary, columns, rows, assumptions }: Sweep, format: CsvFormat = plainCsv): string {
  const head = [
    ...vary.map(({ path, from, to, step }) => `vary: ${path} from ${from} to ${to} by ${step}`),
    ...assumptionLines(assumptions),
  ]
  return studyCsv(head, columns, rows, format)
}

/** Any study table as CSV; units stand behind the names of the columns. */
export function studyCsv(
  head: readonly string[],
  columns: readonly StudyColumn[],
  rows: readonly (readonly StudyCell[])[],
  format: CsvFormat = plainCsv,
): string {
  const titles = columns.map(({ name, unit }) => (unit === '' ? name : `${name} [${unit}]`))
  return csvText(head, titles, rows, format)
}

/** A load series as CSV: the same bytes from window and command line. */
export const seriesCsv = ({ columns, rows, assumptions }: LoadSeries, format: CsvFormat = plainCsv): string =>
  studyCsv(assumptionLines(assumptions), columns, rows, format)
