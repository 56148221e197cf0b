import { median } from '../geometry/median.ts'

/** Bands one above the other, and columns beside each other, whose medians vote. */
const bands = 6
const columns = 8
/** Farther down than so many widths the ridge of the shaft turns towards the medial malleolus. */
export const ridgeShare = 1.3

/**
 * Votes that +z is lateral on the knee end of a tibia (vertices in limb coordinates, mm): the front of the shaft from `level` up lies lateral of the
 * middle, and the medial condyle is the deeper one from front to back. Both are medians, of bands and of columns: an osteophyte
 * carries along few of them. About 1 and more is clear.
 */
export function lateralVotes(p: Float64Array, level: number, widthMm: number): number {
  const bandMm = (0.3 * widthMm) / bands
  const ridge = median(Array.from({ length: bands }, (_, k) => ridgeOf(p, level - 1 + k * bandMm, bandMm)))
  return ridge / 4 + (condyleDepth(p, -1, widthMm) - condyleDepth(p, 1, widthMm)) / 20
}

/** Surface so far behind the foremost of its band still counts for where its ridge runs, mm. */
const ridgeMm = 4

/** Where across the foremost vertices of a band lie, those farther forward counting more; NaN where there are none. */
function ridgeOf(p: Float64Array, fromMm: number, bandMm: number): number {
  const within = (i: number): boolean => p[i + 1]! > fromMm && p[i + 1]! < fromMm + bandMm
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < p.length; i += 3) if (within(i) && p[i]! > most) most = p[i]!
  let sum = 0
  let weight = 0
  for (let i = 0; i < p.length; i += 3) {
    const w = within(i) ? Math.max(0, p[i]! - most + ridgeMm) : 0
    sum += w * p[i + 2]!
    weight += w
  }
  return sum / weight
}

/** How deep from front to back one condyle of a tibia is, mm. */
function condyleDepth(p: Float64Array, side: 1 | -1, widthMm: number): number {
  const front = new Float64Array(columns).fill(Number.NEGATIVE_INFINITY)
  const back = new Float64Array(columns).fill(Number.POSITIVE_INFINITY)
  for (let i = 0; i < p.length; i += 3) {
    const share = (side * p[i + 2]!) / widthMm
    if (share < 0.14 || share >= 0.4 || p[i + 1]! < -0.12 * widthMm) continue
    const k = Math.floor((columns * (share - 0.14)) / 0.26)
    front[k] = Math.max(front[k]!, p[i]!)
    back[k] = Math.min(back[k]!, p[i]!)
  }
  return median(Array.from(front, (f, k) => f - back[k]!))
}

/**
 * How much farther forward the surface reaches laterally than medially of the middle, below the level of the epicondyles of a femur (vertices in
 * limb coordinates, mm): median of bands.
 */
export function proudOfGroove(p: Float64Array, widthMm: number): number {
  const front = ([1, -1] as const).map((side) => {
    const most = new Float64Array(bands).fill(Number.NEGATIVE_INFINITY)
    for (let i = 0; i < p.length; i += 3) {
      const z = side * p[i + 2]!
      const k = Math.floor((bands * (p[i + 1]! / widthMm + 0.05)) / 0.4)
      if (z > 0.05 * widthMm && z < 0.4 * widthMm && k >= 0 && k < bands) most[k] = Math.max(most[k]!, p[i]!)
    }
    return most
  }) as [Float64Array, Float64Array]
  return median(Array.from(front[0], (lateral, k) => lateral - front[1][k]!))
}
