import type { Sdf } from './sdf.ts'

/** One section of a loft, perpendicular to Y: its centre and eight radii, mm, every 45° from anterior through lateral. */
export interface Level {
  readonly y: number
  readonly x: number
  readonly z: number
  /** anterior, antero-lateral, lateral, postero-lateral, posterior, postero-medial, medial, antero-medial */
  readonly radii: readonly [number, number, number, number, number, number, number, number]
  /** Turn of the section about Y, degrees, anterior towards lateral. */
  readonly turnDeg: number
}

const channels = 11

/**
 * Solid swept through sections: radius a trigonometric polynomial around each section (through its eight radii),
 * every coefficient a natural cubic spline of y; held constant beyond the first and last level (caller closes the ends).
 * Levels must rise in y. The value is radial, not perpendicular, distance.
 */
export function loft(levels: readonly Level[]): Sdf {
  const n = levels.length
  const ys = levels.map((l) => l.y)
  const y0 = ys[0]!
  const y1 = ys[n - 1]!
  const table = new Float64Array((n - 1) * channels * 4)
  for (let c = 0; c < channels; c++) {
    const pieces = naturalSpline(
      ys,
      levels.map((l) => channel(l, c)),
    )
    for (let s = 0; s < n - 1; s++) for (let k = 0; k < 4; k++) table[(s * channels + c) * 4 + k] = pieces[4 * s + k]!
  }
  const segmentAt = Uint8Array.from({ length: Math.ceil(y1 - y0) + 1 }, (_, i) => lastAtOrBelow(ys, y0 + i))
  return (x, y, z) => {
    const yc = Math.min(Math.max(y, y0), y1)
    let s = segmentAt[Math.floor(yc - y0)]!
    while (s < n - 2 && yc > ys[s + 1]!) s++
    const t = yc - ys[s]!
    const o = s * channels * 4
    const at = (i: number): number => {
      const j = o + 4 * i
      return table[j]! + t * (table[j + 1]! + t * (table[j + 2]! + t * table[j + 3]!))
    }
    const u = x - at(0)
    const w = z - at(1)
    const rho = Math.sqrt(u * u + w * w)
    if (rho < 1e-9) return -at(3)
    const turn = at(2)
    const ct = Math.cos(turn)
    const st = Math.sin(turn)
    const c1 = (ct * u + st * w) / rho
    const s1 = (ct * w - st * u) / rho
    const c2 = c1 * c1 - s1 * s1
    const s2 = 2 * c1 * s1
    const c3 = c2 * c1 - s2 * s1
    const s3 = s2 * c1 + c2 * s1
    const c4 = c2 * c2 - s2 * s2
    const r = at(3) + at(4) * c1 + at(5) * s1 + at(6) * c2 + at(7) * s2 + at(8) * c3 + at(9) * s3 + at(10) * c4
    return rho - r
  }
}

/** Channel values of a level: centre x, centre z, turn, then the Fourier coefficients of the radius. */
function channel(level: Level, c: number): number {
  if (c === 0) return level.x
  if (c === 1) return level.z
  if (c === 2) return (level.turnDeg * Math.PI) / 180
  const k = c - 3
  const order = Math.ceil(k / 2)
  const isSine = k > 0 && k % 2 === 0
  let sum = 0
  for (let i = 0; i < 8; i++) {
    const angle = (order * i * Math.PI) / 4
    sum += level.radii[i]! * (isSine ? Math.sin(angle) : Math.cos(angle))
  }
  return sum / (order === 0 || order === 4 ? 8 : 4)
}

function lastAtOrBelow(ys: readonly number[], y: number): number {
  let s = 0
  while (s < ys.length - 2 && ys[s + 1]! <= y) s++
  return s
}

/** Natural cubic spline through (xs, ys): four coefficients per piece in powers of (x − xs[piece]). */
export function naturalSpline(xs: readonly number[], ys: readonly number[]): Float64Array {
  const n = xs.length
  const h = xs.slice(1).map((x, i) => x - xs[i]!)
  const second = new Float64Array(n)
  const upper = new Float64Array(n)
  for (let i = 1; i < n - 1; i++) {
    const rhs = 6 * ((ys[i + 1]! - ys[i]!) / h[i]! - (ys[i]! - ys[i - 1]!) / h[i - 1]!)
    const diagonal = 2 * (h[i - 1]! + h[i]!) - h[i - 1]! * upper[i - 1]!
    upper[i] = h[i]! / diagonal
    second[i] = (rhs - h[i - 1]! * second[i - 1]!) / diagonal
  }
  for (let i = n - 2; i > 0; i--) second[i] = second[i]! - upper[i]! * second[i + 1]!
  const out = new Float64Array((n - 1) * 4)
  for (let i = 0; i < n - 1; i++) {
    out[4 * i] = ys[i]!
    out[4 * i + 1] = (ys[i + 1]! - ys[i]!) / h[i]! - (h[i]! * (2 * second[i]! + second[i + 1]!)) / 6
    out[4 * i + 2] = second[i]! / 2
    out[4 * i + 3] = (second[i + 1]! - second[i]!) / (6 * h[i]!)
  }
  return out
}
