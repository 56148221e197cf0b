/** What a piecewise linear penetration adds over a cell: over its touching part, mm. */
export interface CellSums {
  /** ∫1, ∫x, ∫y, ∫x², ∫xy, ∫y² over the touching part. */
  readonly moments: Float64Array
  /** ∫u, ∫u·x, ∫u·y over the touching part. */
  readonly loads: Float64Array
}

const corners = new Float64Array(4 * 12)
const clipped = new Float64Array(4 * 12)
/** x, y, u, r of the four corners and the middle, five numbers sets in turn. */
const five = new Float64Array(4 * 5)

/**
 * Integrates over the part of a square cell where the penetration u and the distance inside the rim r are both
 * positive, each linear on the four triangles between the middle (mean of the corners) and the sides: the same for a
 * mirrored cell. Adds to `moments` (1, x, y, xx, xy, yy) and `loads` (u, ux, uy).
 */
export function addCell(
  x: number,
  y: number,
  cell: number,
  u: readonly [number, number, number, number],
  r: readonly [number, number, number, number],
  sums: CellSums,
): void {
  const place = (k: number, px: number, py: number, pu: number, pr: number) => {
    five[4 * k] = px
    five[4 * k + 1] = py
    five[4 * k + 2] = pu
    five[4 * k + 3] = pr
  }
  place(0, x, y, u[0], r[0])
  place(1, x + cell, y, u[1], r[1])
  place(2, x + cell, y + cell, u[2], r[2])
  place(3, x, y + cell, u[3], r[3])
  place(4, x + cell / 2, y + cell / 2, (u[0] + u[1] + u[2] + u[3]) / 4, (r[0] + r[1] + r[2] + r[3]) / 4)
  for (let k = 0; k < 4; k++) addTriangle(k, (k + 1) % 4, sums)
}

function addTriangle(a: number, b: number, sums: CellSums): void {
  corners.set(five.subarray(4 * a, 4 * a + 4), 0)
  corners.set(five.subarray(4 * b, 4 * b + 4), 4)
  corners.set(five.subarray(16, 20), 8)
  const kept = clipPositive(corners, 3, 2, clipped)
  const count = clipPositive(clipped, kept, 3, corners)
  for (let k = 1; k + 1 < count; k++) addPart(corners, 0, 4 * k, 4 * k + 4, sums)
}

/** Keeps the part where entry `which` is not negative; returns the number of corners. */
function clipPositive(from: Float64Array, count: number, which: number, to: Float64Array): number {
  let out = 0
  for (let k = 0; k < count; k++) {
    const a = 4 * k
    const b = 4 * ((k + 1) % count)
    const va = from[a + which]!
    const vb = from[b + which]!
    if (va >= 0) {
      for (let e = 0; e < 4; e++) to[4 * out + e] = from[a + e]!
      out++
    }
    if (va >= 0 !== vb >= 0) {
      const t = va / (va - vb)
      for (let e = 0; e < 4; e++) to[4 * out + e] = from[a + e]! + t * (from[b + e]! - from[a + e]!)
      to[4 * out + which] = 0
      out++
    }
  }
  return out
}

/** Exact integrals of linear and quadratic terms over one triangle. */
function addPart(p: Float64Array, a: number, b: number, c: number, { moments: m, loads: l }: CellSums): void {
  const [ax, ay, au] = [p[a]!, p[a + 1]!, p[a + 2]!]
  const [bx, by, bu] = [p[b]!, p[b + 1]!, p[b + 2]!]
  const [cx, cy, cu] = [p[c]!, p[c + 1]!, p[c + 2]!]
  const area = Math.abs((bx - ax) * (cy - ay) - (cx - ax) * (by - ay)) / 2
  const sx = ax + bx + cx
  const sy = ay + by + cy
  const su = au + bu + cu
  const t = area / 12
  m[0] += area
  m[1] += (area * sx) / 3
  m[2] += (area * sy) / 3
  m[3] += t * (ax * ax + bx * bx + cx * cx + sx * sx)
  m[4] += t * (ax * ay + bx * by + cx * cy + sx * sy)
  m[5] += t * (ay * ay + by * by + cy * cy + sy * sy)
  l[0] += (area * su) / 3
  l[1] += t * (ax * au + bx * bu + cx * cu + sx * su)
  l[2] += t * (ay * au + by * bu + cy * cu + sy * su)
}
