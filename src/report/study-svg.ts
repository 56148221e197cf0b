import type { CaseDocument } from '../casefile/document.ts'
import { programVersion } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Sweep } from '../studies/sweep.ts'
import { studyLimits } from './study-limits.ts'
import { linePanel } from './study-line-panel.ts'
import { mapPanel } from './study-map-panel.ts'
import { type StudyPanel, studySheet } from './study-sheet.ts'
import { axisNumber } from './svg-parts.ts'

/** Columns that a chart draws when none are named. */
export const usualOutputs: readonly string[] = ['stance.trayToFloorCoronalDeg', 'after.hkaDeg']

/**
 * A sweep as one vector drawing, a panel per output: a line over one varied path, a map over two with the level lines
 * of the entered limits. Points without a value are left open. The caution stands in the drawing. An output that is
 * no column, or has no value anywhere, is a failure.
 */
export function studySvg(
  sweep: Sweep,
  limits: Pick<CaseDocument, 'limits'>,
  outputs: readonly string[] = usualOutputs,
): Result<string> {
  const panels: StudyPanel[] = []
  for (const output of outputs) {
    const column = sweep.columns.findIndex(({ name }) => name === output)
    if (column < sweep.vary.length || output === 'failure')
      return fail('case/unknown-path', `There is no output “${output}” to draw.`, {
        hint: 'The head of the table names the outputs.',
        place: output,
      })
    if (!sweep.rows.some((row) => typeof row[column] === 'number'))
      return fail('case/out-of-range', `The output “${output}” has no value in this study.`, { place: output })
    panels.push(
      sweep.vary.length === 1
        ? linePanel(sweep, column, studyLimits(limits, [output]))
        : mapPanel(sweep, column, studyLimits(limits, limitedOutputs)),
    )
  }
  const pose = sweep.assumptions.find(({ what }) => what === 'pose of the table')?.value ?? ''
  const about = `Study of ${sweep.vary.map(({ path }) => path).join(' and ')}`
  const small = `pose ${pose} · Floorline ${programVersion}`
  return ok(studySheet(about, sweep.vary.map(words).join(', '), small, panels))
}

/** In a map every entered limit of the limb and the joint lines is drawn, whatever the map shows. */
const limitedOutputs = ['after.hkaDeg', 'after.ldfaDeg', 'after.mptaDeg', 'after.slopeDeg'] as const

const words = ({ path, from, to, step }: Sweep['vary'][number]): string =>
  `${path} ${axisNumber(from)} … ${axisNumber(to)} by ${axisNumber(step)}`
