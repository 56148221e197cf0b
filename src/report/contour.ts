/** A straight piece of a level line, in columns and rows of the grid. */
export type ContourPiece = readonly [from: readonly [number, number], to: readonly [number, number]]

/**
 * Level line of a grid (row by row, `columns` wide; null: no value) by marching squares: linear along each edge, a
 * saddle is split by the mean of its corners. Cells with a missing corner have none.
 */
export function contour(grid: readonly (number | null)[], columns: number, level: number): readonly ContourPiece[] {
  const rows = Math.floor(grid.length / columns)
  const pieces: ContourPiece[] = []
  for (let j = 0; j + 1 < rows; j++)
    for (let i = 0; i + 1 < columns; i++) {
      const ring = [
        [i, j],
        [i + 1, j],
        [i + 1, j + 1],
        [i, j + 1],
      ] as const
      const values = ring.map(([x, y]) => grid[y * columns + x] ?? null)
      if (values.some((v) => v === null)) continue
      // A corner on the level counts as above it, rounding noise or not.
      const off = values.map((v) => {
        const d = (v as number) - level
        return Math.abs(d) < noise ? 0 : d
      })
      const crossings = ring.flatMap((from, k) => {
        const to = ring[(k + 1) % 4]!
        const [a, b] = [off[k]!, off[(k + 1) % 4]!]
        if (a >= 0 === b >= 0) return []
        const t = a / (a - b)
        return [[from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])] as const]
      })
      if (crossings.length === 2) pieces.push([crossings[0]!, crossings[1]!])
      if (crossings.length === 4) {
        const joined = off.reduce((sum, v) => sum + v, 0) >= 0 === off[0]! >= 0
        const [a, b, c, d] = crossings as [ContourPiece[0], ContourPiece[0], ContourPiece[0], ContourPiece[0]]
        pieces.push(
          ...(joined
            ? ([
                [a, b],
                [c, d],
              ] as const)
            : ([
                [d, a],
                [b, c],
              ] as const)),
        )
      }
    }
  return pieces
}

const noise = 1e-9
