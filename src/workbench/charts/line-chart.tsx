import { formatNumber } from '../text/format.ts'
import { niceTicks } from './ticks.ts'

export interface LineSeries {
  readonly label: string
  /** In order of x; null where there is no number: the line is broken there. */
  readonly points: readonly { readonly x: number; readonly y: number | null }[]
}

interface LineChartProps {
  readonly label: string
  readonly xLabel: string
  readonly yLabel: string
  readonly series: readonly LineSeries[]
}

const size = { width: 640, height: 300, left: 56, right: 16, top: 14, bottom: 44 }
const dashes = ['', '7 4', '2 3', '9 3 2 3']

/** Lines over one parameter, as vectors; series differ in dash as well as in colour. */
export function LineChart({ label, xLabel, yLabel, series }: LineChartProps) {
  const xs = series.flatMap((line) => line.points.map((p) => p.x))
  const ys = series.flatMap((line) => line.points.flatMap((p) => (p.y === null ? [] : [p.y])))
  if (ys.length === 0) return <p>No numbers to draw.</p>
  const xTicks = niceTicks(Math.min(...xs), Math.max(...xs), 8)
  const yTicks = niceTicks(Math.min(...ys), Math.max(...ys), 6)
  const span = (ticks: readonly number[]) => [ticks[0]!, ticks.at(-1)!] as const
  const [yLow, yHigh] = span(yTicks)
  const [xLow, xHigh] = [Math.min(...xs), Math.max(...xs)]
  const atX = (x: number) => size.left + ((x - xLow) / (xHigh - xLow || 1)) * (size.width - size.left - size.right)
  const atY = (y: number) =>
    size.height - size.bottom - ((y - yLow) / (yHigh - yLow || 1)) * (size.height - size.top - size.bottom)
  return (
    <svg className="line-chart" viewBox={`0 0 ${size.width} ${size.height}`} role="img" aria-label={label}>
      {yTicks.map((y) => (
        <g key={y}>
          <line className="chart-grid" x1={size.left} x2={size.width - size.right} y1={atY(y)} y2={atY(y)} />
          <text className="chart-tick" x={size.left - 8} y={atY(y) + 4} textAnchor="end">
            {formatNumber(y, decimals(yTicks))}
          </text>
        </g>
      ))}
      {xTicks
        .filter((x) => x >= xLow && x <= xHigh)
        .map((x) => (
          <text key={x} className="chart-tick" x={atX(x)} y={size.height - size.bottom + 18} textAnchor="middle">
            {formatNumber(x, decimals(xTicks))}
          </text>
        ))}
      {series.map((line, k) => (
        <path
          key={line.label}
          className={`chart-line chart-line-${k % 4}`}
          d={pathOf(line, atX, atY)}
          strokeDasharray={dashes[k % 4]}
        />
      ))}
      <text
        className="chart-label"
        x={(size.left + size.width - size.right) / 2}
        y={size.height - 6}
        textAnchor="middle"
      >
        {xLabel}
      </text>
      <text className="chart-label" x={size.left} y={size.top - 3}>
        {yLabel}
      </text>
    </svg>
  )
}

function pathOf(line: LineSeries, atX: (x: number) => number, atY: (y: number) => number): string {
  let pen = 'M'
  return line.points
    .map(({ x, y }) => {
      if (y === null) {
        pen = 'M'
        return ''
      }
      const piece = `${pen}${atX(x).toFixed(1)} ${atY(y).toFixed(1)}`
      pen = 'L'
      return piece
    })
    .join('')
}

const decimals = (ticks: readonly number[]): number => {
  const step = (ticks[1] ?? 1) - (ticks[0] ?? 0)
  return step >= 1 ? 0 : step >= 0.1 ? 1 : step >= 0.01 ? 2 : 3
}
