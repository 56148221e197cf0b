/** Two surfaces that face each other, over the plane of the lower one. mm. */
export interface FacingSurfaces {
  /** Vertical gap between the surfaces where they just do not touch; +∞ where one of them has ended. */
  readonly gap: (x: number, y: number) => number
  /** Where the gap is a sum of one part across and one along, the two parts: much cheaper to sample. */
  readonly parts?: { readonly across: (x: number) => number; readonly along: (y: number) => number }
  /** Distance inside the lower surface's rim, negative outside; null: no rim. */
  readonly rim: ((x: number, y: number) => number) | null
  readonly low: readonly [number, number]
  readonly high: readonly [number, number]
}

/** The gap on the nodes of a square grid. */
export interface ContactField {
  readonly cellMm: number
  readonly columns: number
  readonly rows: number
  readonly lowX: number
  readonly lowY: number
  readonly gapMm: Float64Array
  readonly rimMm: Float64Array | null
  readonly leastGapMm: number
}

/** Larger than any penetration: stands for a surface that has ended. */
export const farApart = 1e6

/** Samples the gap on a grid of `cellMm` over the surfaces' box, symmetric about the box's middle; `offset` shifts it, in cells. */
export function contactField(
  { gap, parts, rim, low, high }: FacingSurfaces,
  cellMm: number,
  offset: readonly [number, number] = [0, 0],
): ContactField {
  // A box of whole cells must not gain one by rounding: the grid would shift by half a cell, and the figures with it.
  const cells = (k: 0 | 1) => Math.max(1, Math.ceil((high[k] - low[k]) / cellMm - 1e-6) + 1)
  const [nx, ny] = [cells(0), cells(1)]
  const lowX = (low[0] + high[0]) / 2 - (nx / 2 + offset[0]) * cellMm
  const lowY = (low[1] + high[1]) / 2 - (ny / 2 + offset[1]) * cellMm
  const [columns, rows] = [nx + 1, ny + 1]
  const gapMm = new Float64Array(columns * rows)
  const rimMm = rim ? new Float64Array(columns * rows) : null
  let leastGapMm = Number.POSITIVE_INFINITY
  const across = parts ? Float64Array.from({ length: columns }, (_, i) => parts.across(lowX + i * cellMm)) : null
  for (let j = 0, k = 0; j < rows; j++) {
    const y = lowY + j * cellMm
    const along = parts ? parts.along(y) : 0
    for (let i = 0; i < columns; i++, k++) {
      const x = lowX + i * cellMm
      const g = across ? across[i]! + along : gap(x, y)
      const inside = rim ? rim(x, y) : 1
      gapMm[k] = Number.isFinite(g) ? g : farApart
      if (rimMm) rimMm[k] = inside
      if (inside >= 0 && g < leastGapMm) leastGapMm = g
    }
  }
  return { cellMm, columns, rows, lowX, lowY, gapMm, rimMm, leastGapMm }
}
