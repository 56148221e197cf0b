import { caution } from '../casefile/program.ts'
import type { LoadSeries } from '../studies/load-series.ts'
import type { Sweep } from '../studies/sweep.ts'

/** The document of a sweep (schema `floorline.sweep/1`): the same from window and command line. */
export const sweepDocument = ({ vary, columns, rows, assumptions }: Sweep): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.sweep/1',
  caution,
  vary,
  columns,
  rows,
  assumptions,
})

/** The document of a load series (schema `floorline.series/1`). */
export const seriesDocument = (series: LoadSeries): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.series/1',
  caution,
  ...series,
})
