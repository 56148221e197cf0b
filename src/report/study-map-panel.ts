import { type Sweep, valuesOf } from '../studies/sweep.ts'
import { axisTicks } from './axis-ticks.ts'
import { contour } from './contour.ts'
import type { LimitLine } from './study-limits.ts'
import { axisNumber, columnName, label, panelWidth, px } from './svg-parts.ts'

const box = { left: 70, right: panelWidth - 150, top: 28, bottom: 388 }
const legend = { left: panelWidth - 110, width: 18 }

/** One output over the two varied paths: a cell per point, the limits' level lines over them, a scale beside. */
export function mapPanel(
  { columns, rows, vary }: Sweep,
  column: number,
  limits: readonly LimitLine[],
): { readonly svg: string; readonly height: number } {
  const [first, second] = vary.map(valuesOf) as [number[], number[]]
  const at = (c: number) => (i: number, j: number) => {
    const cell = rows[i * second.length + j]?.[c]
    return typeof cell === 'number' ? cell : null
  }
  const value = at(column)
  const known = rows.flatMap((row) => (typeof row[column] === 'number' ? [row[column]] : []))
  const [low, high] = [Math.min(...known), Math.max(...known)]
  const [cellWidth, cellHeight] = [(box.right - box.left) / first.length, (box.bottom - box.top) / second.length]
  // The middle of a point's cell; fractions of a column or row lie between.
  const x = (i: number) => box.left + (i + 0.5) * cellWidth
  const y = (j: number) => box.bottom - (j + 0.5) * cellHeight
  const share = (v: number) => (high > low ? (v - low) / (high - low) : 0.5)
  const cells = first.flatMap((_, i) =>
    second.map((__, j) => {
      const v = value(i, j)
      const place = `x="${px(x(i) - cellWidth / 2)}" y="${px(y(j) - cellHeight / 2)}" width="${px(cellWidth)}" height="${px(cellHeight)}"`
      return v === null ? `<rect class="hole" ${place}/>` : `<rect fill="${shade(share(v))}" ${place}/>`
    }),
  )
  const drawn = limits.flatMap(({ output, value: level, label: name }) => {
    const c = columns.findIndex((one) => one.name === output)
    const read = at(c)
    const grid = second.flatMap((_, j) => first.map((__, i) => read(i, j)))
    const pieces = contour(grid, first.length, level)
    return pieces.length === 0 ? [] : [{ name, pieces }]
  })
  const lines = drawn.flatMap(({ name, pieces }, k) => {
    // Each label has a place of its own along its line, so that neighbours do not cover each other.
    const middle = pieces[Math.floor(((k + 1) / (drawn.length + 1)) * pieces.length)]!
    const path = pieces.map(([a, b]) => `M${px(x(a[0]))},${px(y(a[1]))}L${px(x(b[0]))},${px(y(b[1]))}`).join('')
    const [tx, ty] = [x(middle[0][0]), y(middle[0][1])]
    const anchor = tx > (box.left + box.right) / 2 ? 'end' : 'start'
    return [
      `<path class="limit" d="${path}"/><text class="limit-text" text-anchor="${anchor}" x="${px(tx + (anchor === 'end' ? -6 : 6))}" y="${px(ty - 4)}">${label(name)}</text>`,
    ]
  })
  const axis = (values: readonly number[]) => {
    const every = Math.max(1, Math.ceil(values.length / 12))
    return values.flatMap((v, k) => (k % every === 0 ? [[v, k] as const] : []))
  }
  const svg = [
    `<text x="${box.left}" y="18">${label(columnName(columns[column]!))}</text>`,
    ...cells,
    `<rect class="frame" x="${box.left}" y="${box.top}" width="${box.right - box.left}" height="${box.bottom - box.top}"/>`,
    ...axis(first).map(
      ([v, k]) => `<text text-anchor="middle" x="${px(x(k))}" y="${box.bottom + 17}">${axisNumber(v)}</text>`,
    ),
    ...axis(second).map(
      ([v, k]) => `<text text-anchor="end" x="${box.left - 8}" y="${px(y(k) + 4)}">${axisNumber(v)}</text>`,
    ),
    ...lines,
    `<text text-anchor="middle" x="${(box.left + box.right) / 2}" y="${box.bottom + 36}">${label(columnName(columns[0]!))}</text>`,
    `<text text-anchor="middle" transform="translate(18 ${(box.top + box.bottom) / 2}) rotate(-90)">${label(columnName(columns[1]!))}</text>`,
    ...scale(low, high),
  ]
  return { svg: svg.join('\n'), height: box.bottom + 54 }
}

function scale(low: number, high: number): readonly string[] {
  const steps = 40
  const height = (box.bottom - box.top) / steps
  const bars = Array.from(
    { length: steps },
    (_, k) =>
      `<rect fill="${shade((k + 0.5) / steps)}" x="${legend.left}" y="${px(box.bottom - (k + 1) * height)}" width="${legend.width}" height="${px(height + 0.3)}"/>`,
  )
  const y = (v: number) => (high > low ? box.bottom - ((v - low) / (high - low)) * (box.bottom - box.top) : box.top)
  return [
    ...bars,
    ...axisTicks(low, high, 6).map(
      (v) => `<text x="${legend.left + legend.width + 8}" y="${px(y(v) + 4)}">${axisNumber(v)}</text>`,
    ),
  ]
}

/** Light to dark in one hue, so that a grey print and colour-blind eyes read the same order. */
function shade(share: number): string {
  const t = Math.max(0, Math.min(1, share))
  const mix = (a: number, b: number) => Math.round(a + t * (b - a))
  return `rgb(${mix(238, 16)},${mix(244, 78)},${mix(248, 120)})`
}
