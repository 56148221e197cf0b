import { programVersion } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { LoadSeries } from '../studies/load-series.ts'
import { linePanel } from './study-line-panel.ts'
import { studySheet } from './study-sheet.ts'

/** Columns that a series' chart draws when none are named. */
export const usualSeriesOutputs: readonly string[] = ['axial', 'medial.peakMpa', 'lateral.peakMpa', 'interfacePeak']

/**
 * A load series as one vector drawing, a panel per output over the time; moments without a value are left open. An output
 * that is no column, or has no value anywhere, is a failure.
 */
export function seriesSvg(series: LoadSeries, outputs: readonly string[] = usualSeriesOutputs): Result<string> {
  const panels = []
  for (const output of outputs) {
    const column = series.columns.findIndex(({ name }) => name === output)
    if (column < 1 || output === 'failure')
      return fail('case/unknown-path', `There is no output “${output}” to draw.`, {
        hint: 'The head of the table names the outputs.',
        place: output,
      })
    if (!series.rows.some((row) => typeof row[column] === 'number'))
      return fail('case/out-of-range', `The output “${output}” has no value in this series.`, { place: output })
    panels.push(linePanel(series, column, []))
  }
  const count = `${series.rows.length} moments · Floorline ${programVersion}`
  return ok(studySheet('Load series', 'Load series', count, panels))
}

/** Those of the usual columns that hold any number here. */
export const drawnByDefault = ({ columns, rows }: LoadSeries): readonly string[] =>
  usualSeriesOutputs.filter((name) => {
    const column = columns.findIndex((one) => one.name === name)
    return rows.some((row) => typeof row[column] === 'number')
  })
