import type { CaseDocument } from '../casefile/document.ts'
import { caution, programVersion } from '../casefile/program.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Sweep } from '../studies/sweep.ts'
import { studyLimits } from './study-limits.ts'
import { linePanel } from './study-line-panel.ts'
import { mapPanel } from './study-map-panel.ts'
import { axisNumber, label, panelWidth } from './svg-parts.ts'

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
  const panels: string[] = []
  let top = 46
  for (const output of outputs) {
    const column = sweep.columns.findIndex(({ name }) => name === output)
    if (column < sweep.vary.length || output === 'failure')
      return fail('case/unknown-path', `There is no output “${output}” to draw.`, {
        hint: 'The head of the table names the outputs.',
        place: output,
      })
    if (!sweep.rows.some((row) => typeof row[column] === 'number'))
      return fail('case/out-of-range', `The output “${output}” has no value in this study.`, { place: output })
    const panel =
      sweep.vary.length === 1
        ? linePanel(sweep, column, studyLimits(limits, [output]))
        : mapPanel(sweep, column, studyLimits(limits, limitedOutputs))
    panels.push(`<g transform="translate(0 ${top})">${panel.svg}</g>`)
    top += panel.height
  }
  const pose = sweep.assumptions.find(({ what }) => what === 'pose of the table')?.value ?? ''
  const notice = caution.split(/(?<=; )/)
  const height = top + 26 + 16 * notice.length
  return ok(
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${panelWidth} ${height}" width="${panelWidth}" height="${height}" role="img" aria-label="Study of ${label(sweep.vary.map(({ path }) => path).join(' and '))}">
<style>${style}</style>
<rect class="paper" width="${panelWidth}" height="${height}"/>
<text class="title" x="16" y="26">${label(sweep.vary.map(words).join(', '))}</text>
<text class="small" x="16" y="42">${label(`pose ${pose} · Floorline ${programVersion}`)}</text>
${panels.join('\n')}
${notice.map((line, k) => `<text class="small" x="16" y="${top + 18 + 16 * k}">${label(line.trim())}</text>`).join('\n')}
</svg>
`,
  )
}

/** In a map every entered limit of the limb and the joint lines is drawn, whatever the map shows. */
const limitedOutputs = ['after.hkaDeg', 'after.ldfaDeg', 'after.mptaDeg', 'after.slopeDeg'] as const

const words = ({ path, from, to, step }: Sweep['vary'][number]): string =>
  `${path} ${axisNumber(from)} … ${axisNumber(to)} by ${axisNumber(step)}`

const style =
  '.paper{fill:#fff}text{font:12px system-ui,sans-serif;fill:#1d2328}.title{font-weight:600;font-size:14px}.small{font-size:11px;fill:#4a545c}' +
  '.frame{fill:none;stroke:#8a949b}.grid{stroke:#dfe3e6}.line{fill:none;stroke:#1f5f8b;stroke-width:2}.dot{fill:#1f5f8b}' +
  '.limit{fill:none;stroke:#a8431a;stroke-width:1.6;stroke-dasharray:6 4}.limit-text{fill:#8f3512;font-size:11px;paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}.hole{fill:#fff;stroke:#c5ccd1}'
