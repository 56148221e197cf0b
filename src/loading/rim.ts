import { distanceOutside, type Outline } from '../planning/polygon.ts'

/** Distance inside a closed outline, negative outside, mm. */
export type RimDistance = (x: number, y: number) => number

const stepMm = 0.5
const margin = 4
const kept = new WeakMap<Outline, RimDistance>()

/** Distance inside an outline from a table of half-millimetre steps, linear between; made once per outline. */
export function rimDistance(outline: Outline): RimDistance {
  const known = kept.get(outline)
  if (known) return known
  const xs = outline.map(([x]) => x)
  const ys = outline.map(([, y]) => y)
  const lowX = Math.min(...xs) - margin
  const lowY = Math.min(...ys) - margin
  const columns = Math.ceil((Math.max(...xs) + margin - lowX) / stepMm) + 1
  const rows = Math.ceil((Math.max(...ys) + margin - lowY) / stepMm) + 1
  const table = new Float64Array(columns * rows)
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < columns; i++)
      table[j * columns + i] = -distanceOutside(outline, lowX + i * stepMm, lowY + j * stepMm)
  const made: RimDistance = (x, y) => {
    const u = (x - lowX) / stepMm
    const v = (y - lowY) / stepMm
    const i = Math.floor(u)
    const j = Math.floor(v)
    if (i < 0 || j < 0 || i + 1 >= columns || j + 1 >= rows) return -margin
    const fx = u - i
    const fy = v - j
    const k = j * columns + i
    const low = table[k]! * (1 - fx) + table[k + 1]! * fx
    const high = table[k + columns]! * (1 - fx) + table[k + columns + 1]! * fx
    return low * (1 - fy) + high * fy
  }
  kept.set(outline, made)
  return made
}
