/** A closed outline in a plane, mm; the first point is not repeated. */
export type Outline = readonly (readonly [number, number])[]

/** Distance of a point to an outline, negative inside. An outline of fewer than three points gives +∞. */
export function distanceOutside(outline: Outline, x: number, y: number): number {
  if (outline.length < 3) return Number.POSITIVE_INFINITY
  let nearest = Number.POSITIVE_INFINITY
  let inside = false
  let [ax, ay] = outline[outline.length - 1]!
  for (const [bx, by] of outline) {
    const ex = bx - ax
    const ey = by - ay
    const px = x - ax
    const py = y - ay
    const along = ex * ex + ey * ey
    const t = along > 0 ? Math.min(1, Math.max(0, (px * ex + py * ey) / along)) : 0
    const dx = px - t * ex
    const dy = py - t * ey
    const d = dx * dx + dy * dy
    if (d < nearest) nearest = d
    if (ay > y !== by > y && x < ax + ((y - ay) / ey) * ex) inside = !inside
    ax = bx
    ay = by
  }
  return inside ? -Math.sqrt(nearest) : Math.sqrt(nearest)
}

/** Greatest signed distance of `points`, shifted, outside `outline`; negative when all lie inside. */
export function farthestOutside(points: Outline, outline: Outline, dx = 0, dy = 0): number {
  let farthest = Number.NEGATIVE_INFINITY
  for (const [x, y] of points) farthest = Math.max(farthest, distanceOutside(outline, x + dx, y + dy))
  return farthest
}

/**
 * The same for a search that only wants less than `enough`: gives up at the first point that is no nearer, and returns its distance.
 * The point that stopped it last is asked first the next time, for neighbouring shifts fail at the same place.
 */
export function searchFarthestOutside(points: Outline, outline: Outline): FarthestBelow {
  let first = 0
  return (dx, dy, enough) => {
    let farthest = Number.NEGATIVE_INFINITY
    for (let k = 0; k < points.length; k++) {
      const i = (first + k) % points.length
      const [x, y] = points[i]!
      farthest = Math.max(farthest, distanceOutside(outline, x + dx, y + dy))
      if (farthest < enough) continue
      first = i
      return farthest
    }
    return farthest
  }
}

type FarthestBelow = (dx: number, dy: number, enough: number) => number

/** Signed distance outside an outline, looked up. */
export type DistanceField = (x: number, y: number) => number

/**
 * The signed distance outside an outline on a grid, read by bilinear interpolation: for searches that ask many times. Off by up
 * to about a tenth of the step near corners; outside the grid (which reaches `marginMm` beyond the outline) the nearest border value
 * plus the distance to it.
 */
export function distanceField(outline: Outline, stepMm: number, marginMm: number): DistanceField {
  const xs = outline.map((p) => p[0])
  const ys = outline.map((p) => p[1])
  const x0 = Math.min(...xs) - marginMm
  const y0 = Math.min(...ys) - marginMm
  const columns = Math.ceil((Math.max(...xs) + marginMm - x0) / stepMm) + 1
  const rows = Math.ceil((Math.max(...ys) + marginMm - y0) / stepMm) + 1
  const grid = new Float64Array(columns * rows)
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) grid[j * columns + i] = distanceOutside(outline, x0 + i * stepMm, y0 + j * stepMm)
  }
  return (x, y) => {
    const u = Math.min(columns - 1.000001, Math.max(0, (x - x0) / stepMm))
    const v = Math.min(rows - 1.000001, Math.max(0, (y - y0) / stepMm))
    const i = Math.floor(u)
    const j = Math.floor(v)
    const [s, t] = [u - i, v - j]
    const k = j * columns + i
    const inside =
      (1 - t) * ((1 - s) * grid[k]! + s * grid[k + 1]!) +
      t * ((1 - s) * grid[k + columns]! + s * grid[k + columns + 1]!)
    return inside + Math.hypot(x - (x0 + u * stepMm), y - (y0 + v * stepMm))
  }
}

/** Greatest value of a field over `points`, shifted. */
export function farthestInField(points: Outline, field: DistanceField, dx: number, dy: number): number {
  let farthest = Number.NEGATIVE_INFINITY
  for (const [x, y] of points) farthest = Math.max(farthest, field(x + dx, y + dy))
  return farthest
}

/** Enclosed area, positive when counter-clockwise. */
export function signedArea(outline: Outline): number {
  let twice = 0
  let [ax, ay] = outline[outline.length - 1] ?? [0, 0]
  for (const [bx, by] of outline) {
    twice += ax * by - bx * ay
    ax = bx
    ay = by
  }
  return twice / 2
}

/** Area common to two sets of outlines (even-odd), by lines of constant y through the middle of `lines` strips. */
export function overlapArea(a: readonly Outline[], b: readonly Outline[], lines = 600): number {
  const [lowA, highA] = rangeY(a)
  const [lowB, highB] = rangeY(b)
  const low = Math.max(lowA, lowB)
  const high = Math.min(highA, highB)
  if (!(high > low)) return 0
  const strip = (high - low) / lines
  const insideA = crossingsPerLine(a, low, strip, lines)
  const insideB = crossingsPerLine(b, low, strip, lines)
  let sum = 0
  for (let i = 0; i < lines; i++) sum += commonLength(insideA[i]!, insideB[i]!)
  return sum * strip
}

function rangeY(outlines: readonly Outline[]): readonly [number, number] {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const outline of outlines) {
    for (const [, y] of outline) {
      low = Math.min(low, y)
      high = Math.max(high, y)
    }
  }
  return [low, high]
}

function crossingsPerLine(outlines: readonly Outline[], low: number, strip: number, lines: number): number[][] {
  const perLine: number[][] = Array.from({ length: lines }, () => [])
  for (const outline of outlines) {
    let [ax, ay] = outline[outline.length - 1] ?? [0, 0]
    for (const [bx, by] of outline) {
      const first = Math.ceil((Math.min(ay, by) - low) / strip - 0.5)
      const last = Math.ceil((Math.max(ay, by) - low) / strip - 0.5) - 1
      for (let i = Math.max(0, first); i <= Math.min(lines - 1, last); i++) {
        const y = low + (i + 0.5) * strip
        perLine[i]!.push(ax + ((y - ay) / (by - ay)) * (bx - ax))
      }
      ax = bx
      ay = by
    }
  }
  for (const crossings of perLine) crossings.sort((p, q) => p - q)
  return perLine
}

function commonLength(a: readonly number[], b: readonly number[]): number {
  let sum = 0
  for (let i = 0, j = 0; i + 1 < a.length && j + 1 < b.length; ) {
    sum += Math.max(0, Math.min(a[i + 1]!, b[j + 1]!) - Math.max(a[i]!, b[j]!))
    if (a[i + 1]! < b[j + 1]!) i += 2
    else j += 2
  }
  return sum
}
