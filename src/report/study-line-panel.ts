import type { Sweep } from '../studies/sweep.ts'
import { axisBounds, axisTicks } from './axis-ticks.ts'
import type { LimitLine } from './study-limits.ts'
import { axisNumber, columnName, label, panelWidth, px } from './svg-parts.ts'

const box = { left: 70, right: panelWidth - 24, top: 28, bottom: 220 }

/** One output over the one varied path: points joined by lines, open where there is no value, limits as dashed lines. */
export function linePanel(
  { columns, rows }: Pick<Sweep, 'columns' | 'rows'>,
  column: number,
  limits: readonly LimitLine[],
): { readonly svg: string; readonly height: number } {
  const points = rows.map((row) => [row[0], row[column]] as const)
  const known = points.filter(
    (p): p is readonly [number, number] => typeof p[0] === 'number' && typeof p[1] === 'number',
  )
  const [xLow, xHigh] = span(points.flatMap(([x]) => (typeof x === 'number' ? [x] : [])))
  const values = known.map(([, y]) => y)
  const near = limits.filter(({ value }) => reaches(values, value))
  const [yLow, yHigh] = axisBounds([...values, ...near.map(({ value }) => value)])
  const x = (v: number) => box.left + ((v - xLow) / (xHigh - xLow)) * (box.right - box.left)
  const y = (v: number) => box.bottom - ((v - yLow) / (yHigh - yLow)) * (box.bottom - box.top)
  const runs = points.reduce<[number, number][][]>(
    (all, [at, value]) => {
      if (typeof at === 'number' && typeof value === 'number') all.at(-1)!.push([at, value])
      else all.push([])
      return all
    },
    [[]],
  )
  const svg = [
    `<text x="${box.left}" y="18">${label(columnName(columns[column]!))}</text>`,
    ...axisTicks(yLow, yHigh).map(
      (v) =>
        `<line class="grid" x1="${box.left}" x2="${box.right}" y1="${px(y(v))}" y2="${px(y(v))}"/><text text-anchor="end" x="${box.left - 8}" y="${px(y(v) + 4)}">${axisNumber(v)}</text>`,
    ),
    ...axisTicks(xLow, xHigh, 8).map(
      (v) =>
        `<line class="grid" x1="${px(x(v))}" x2="${px(x(v))}" y1="${box.top}" y2="${box.bottom}"/><text text-anchor="middle" x="${px(x(v))}" y="${box.bottom + 17}">${axisNumber(v)}</text>`,
    ),
    `<rect class="frame" x="${box.left}" y="${box.top}" width="${box.right - box.left}" height="${box.bottom - box.top}"/>`,
    ...near.map(
      ({ value, label: name }) =>
        `<line class="limit" x1="${box.left}" x2="${box.right}" y1="${px(y(value))}" y2="${px(y(value))}"/><text class="limit-text" text-anchor="end" x="${box.right - 6}" y="${px(y(value) - 5)}">${label(`limit ${name}`)}</text>`,
    ),
    ...runs
      .filter((run) => run.length > 1)
      .map((run) => `<polyline class="line" points="${run.map(([a, b]) => `${px(x(a))},${px(y(b))}`).join(' ')}"/>`),
    ...known.map(([a, b]) => `<circle class="dot" r="2.6" cx="${px(x(a))}" cy="${px(y(b))}"/>`),
    `<text text-anchor="middle" x="${(box.left + box.right) / 2}" y="${box.bottom + 36}">${label(columnName(columns[0]!))}</text>`,
  ]
  return { svg: svg.join('\n'), height: box.bottom + 54 }
}

/** A limit far from every value would only flatten the line. */
function reaches(values: readonly number[], limit: number): boolean {
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const air = Math.max(high - low, 1)
  return limit >= low - air && limit <= high + air
}

function span(values: readonly number[]): readonly [number, number] {
  const [low, high] = [Math.min(...values), Math.max(...values)]
  return high > low ? [low, high] : [low - 1, high + 1]
}
