import { caution, programVersion } from '../casefile/program.ts'
import type { Result } from '../failure.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import type { PoseName } from '../stance/terms.ts'
import { type ComparedRow, comparedRows, type RecipeResults } from '../studies/compare-recipes.ts'
import { axisBounds } from './axis-ticks.ts'
import { csvText } from './csv.ts'
import { noNumber, shownWithUnit } from './numbers.ts'
import { outputQuantity, outputWords } from './output-words.ts'
import { label, px } from './svg-parts.ts'
import { poseWords } from './words.ts'

/** The value of one recipe as it is printed, with its bound where the bone is open. */
export function comparedWords(row: ComparedRow, recipe: RecipeName): string {
  const [value, bound] = [row.values[recipe], row.bounds[recipe]]
  const words = comparedValue(row, value)
  return value === null || bound === null ? words : `${words} ± ${comparedValue(row, bound)}`
}

/** A number of a compared output as it is printed; counts stand bare. */
export function comparedValue({ name, unit }: ComparedRow, value: number | null, signed = false): string {
  const quantity = outputQuantity(name, unit)
  if (quantity !== null) return shownWithUnit(value, quantity, signed)
  if (value === null) return noNumber
  const text = String(Number(Math.abs(value).toPrecision(6)))
  return `${value < 0 ? '−' : signed && value > 0 ? '+' : ''}${text}`
}

/** Outputs side by side as CSV: a row per output, a column per recipe, then the differences where there is a baseline. */
export function comparedCsv(
  results: RecipeResults,
  names: readonly string[],
  baseline: RecipeName | null,
  pose: PoseName,
): Result<string> {
  const rows = comparedRows(results, names, baseline, pose)
  if (!rows.ok) return rows
  const failures = recipeNames.flatMap((name) => {
    const result = results[name]
    return result.ok ? [] : [`${name} cannot be planned: ${result.failure.message}`]
  })
  const differences = baseline === null ? [] : recipeNames.map((name) => `${name} less ${baseline}`)
  const text = csvText(
    [`pose ${pose}`, ...failures],
    ['output', 'unit', ...recipeNames, ...differences],
    rows.value.map((row) => [
      row.name,
      row.unit,
      ...recipeNames.map((name) => row.values[name]),
      ...(baseline === null ? [] : recipeNames.map((name) => row.differences[name])),
    ]),
  )
  return { ok: true, value: text }
}

const cell = { width: 250, height: 126, across: 3, left: 16, top: 56 }

/** Small multiples: a panel per output with a bar per recipe, the baseline as a dashed line; caution in the drawing. */
export function comparedSvg(
  results: RecipeResults,
  names: readonly string[],
  baseline: RecipeName | null,
  pose: PoseName,
): Result<string> {
  const rows = comparedRows(results, names, baseline, pose)
  if (!rows.ok) return rows
  const notice = caution.split(/(?<=; )/)
  const lines = Math.ceil(rows.value.length / cell.across)
  const [width, below] = [cell.left * 2 + cell.across * cell.width, cell.top + lines * cell.height]
  const height = below + 20 + 16 * notice.length
  const panels = rows.value.map((row, k) => {
    const [x, y] = [cell.left + (k % cell.across) * cell.width, cell.top + Math.floor(k / cell.across) * cell.height]
    return `<g transform="translate(${x} ${y})">${panel(row, baseline)}</g>`
  })
  const head = `pose ${poseWords[pose]}${baseline === null ? '' : ` · dashed: ${baseline}`} · Floorline ${programVersion}`
  return {
    ok: true,
    value: `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-label="Recipes compared, small multiples">
<style>${style}</style>
<rect class="paper" width="${width}" height="${height}"/>
<text class="title" x="16" y="26">Recipes compared</text>
<text class="small" x="16" y="42">${label(head)}</text>
${panels.join('\n')}
${notice.map((line, k) => `<text class="small" x="16" y="${below + 18 + 16 * k}">${label(line.trim())}</text>`).join('\n')}
</svg>
`,
  }
}

/** Bars start at zero where zero is within reach of the values, else at the least of them, which is then said. */
function panel(row: ComparedRow, baseline: RecipeName | null): string {
  // What is shown as 0 is drawn as 0: rounding has no bars.
  const drawn = (value: number) => (/[1-9]/.test(comparedValue(row, value)) ? value : 0)
  const known = recipeNames.flatMap((name) => {
    const value = row.values[name]
    return value === null ? [] : [drawn(value)]
  })
  const [least, most] = [Math.min(...known), Math.max(...known)]
  const fromZero = known.length > 0 && least - 3 * (most - least || 1) <= 0 && most + 3 * (most - least || 1) >= 0
  const [low, high] = axisBounds(fromZero ? [...known, 0] : known)
  const origin = fromZero ? 0 : low
  const [from, to, line] = [76, 176, 20]
  const x = (v: number) => from + ((v - low) / (high - low)) * (to - from)
  const bars = recipeNames.map((name, k) => {
    const value = row.values[name]
    const y = 24 + k * line
    const words = `<text class="small" x="0" y="${y + 11}">${name}</text>`
    if (value === null) return `${words}<text class="small" x="${from}" y="${y + 11}">${noNumber}</text>`
    const [a, b] = [x(Math.min(origin, drawn(value))), x(Math.max(origin, drawn(value)))]
    const cls = name === baseline ? 'bar base' : 'bar'
    return `${words}<rect class="${cls}" x="${px(a)}" y="${y}" width="${px(Math.max(1, b - a))}" height="13"/><text class="small" x="${to + 6}" y="${y + 11}">${label(comparedWords(row, name))}</text>`
  })
  const at = baseline === null ? null : row.values[baseline]
  const mark =
    at === null ? '' : `<line class="mark" x1="${px(x(at))}" x2="${px(x(at))}" y1="20" y2="${24 + 4 * line}"/>`
  const cut =
    fromZero || known.length === 0
      ? ''
      : `<text class="small" x="${from}" y="${24 + 4 * line + 8}">bars not from 0</text>`
  return `<text x="0" y="14">${label(outputWords(row.name))}</text>${cut}${bars.join('')}${mark}`
}

const style =
  '.paper{fill:#fff}text{font-family:system-ui,sans-serif;font-size:12px;fill:#1d2328}.title{font-weight:600;font-size:14px}.small{font-size:11px;fill:#4a545c}' +
  '.bar{fill:#9fb4c2}.base{fill:#1f5f8b}.mark{stroke:#a8431a;stroke-width:1.4;stroke-dasharray:5 4}'
