import type { InterfacePressure } from './interface-pressure.ts'
import type { Loop } from './polygon-moments.ts'
import { nowhere, type PressureMap } from './pressure-map.ts'
import { crossings } from './strips.ts'

/**
 * The pressure under a tray drawn on the region that bears: max(0, a + b·x + c·y) at every node inside `base` (loops of
 * the tray's plane, even-odd, mm), 0 where it lifts off, `nowhere` outside. No base gives an empty map.
 */
export function interfaceMap(
  base: readonly Loop[],
  { a, b, c }: Pick<InterfacePressure, 'a' | 'b' | 'c'>,
  cellMm: number,
): PressureMap {
  const points = base.flat()
  const xs = points.map(([x]) => x)
  const ys = points.map(([, y]) => y)
  const low: readonly [number, number] = points.length === 0 ? [0, 0] : [least(xs), least(ys)]
  const cells = (low: number, high: number) => (points.length === 0 ? 0 : Math.ceil((high - low) / cellMm - 1e-9))
  const columns = cells(low[0], most(xs))
  const rows = cells(low[1], most(ys))
  const pressureMpa = new Float64Array(columns * rows).fill(nowhere)
  for (let row = 0; row < rows; row++) {
    // Half a cell in, so that no row runs along the edge of a strip.
    const y = low[1] + (row + 0.5) * cellMm
    const crossed = crossings(base, y)
    for (let k = 0; k + 1 < crossed.length; k += 2) {
      const first = Math.max(0, Math.ceil((crossed[k]! - low[0]) / cellMm - 0.5))
      const last = Math.min(columns - 1, Math.floor((crossed[k + 1]! - low[0]) / cellMm - 0.5))
      for (let column = first; column <= last; column++) {
        const x = low[0] + (column + 0.5) * cellMm
        pressureMpa[row * columns + column] = Math.max(0, a + b * x + c * y)
      }
    }
  }
  return { cellMm, columns, rows, low: [low[0] + cellMm / 2, low[1] + cellMm / 2], pressureMpa }
}

const least = (values: readonly number[]): number => values.reduce((p, q) => Math.min(p, q), Number.POSITIVE_INFINITY)
const most = (values: readonly number[]): number => values.reduce((p, q) => Math.max(p, q), Number.NEGATIVE_INFINITY)
