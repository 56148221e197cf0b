import type { Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'
import { castRay } from './truth-search.ts'

/** Depth of a cap, mm. */
const capMm = 3

/** What is looked at for a cap, mm. */
export interface CapLook {
  /** Coordinate along which it stands out, and the sense that points into the bone. */
  readonly out: 0 | 2
  readonly towards: 1 | -1
  /** Heights that are looked at, and how much each counts. */
  readonly heights: readonly [number, number]
  readonly counts: (y: number) => number
  /** How far the rays are apart. */
  readonly stepMm: number
}

/** Rays go this far to every side of the extreme; no cap of 3 mm on these bones reaches farther, mm. */
const reachMm = 24

/**
 * Middle of the cap at an extreme along x or z: mean place of the surface seen along it by parallel rays, weighing by its depth in the
 * cap and by its height, as far out as the extreme. The cap is as deep as a paraboloid's of 3 mm: its mean depth, weighed by the
 * depth itself, is 2 mm.
 */
export function middleOfCap(f: Sdf, extreme: Vec3, look: CapLook): Vec3 {
  const { out, towards, heights, counts, stepMm } = look
  const across = out === 0 ? 2 : 0
  const seen: { readonly across: number; readonly y: number; readonly depth: number; readonly counts: number }[] = []
  const from: [number, number, number] = [0, 0, 0]
  from[out] = extreme[out] - towards
  const ray: [number, number, number] = [0, 0, 0]
  ray[out] = towards
  for (let a = extreme[across] - reachMm; a <= extreme[across] + reachMm; a += stepMm)
    for (let y = extreme[1] - reachMm; y <= extreme[1] + reachMm; y += stepMm) {
      if (y < heights[0] || y > heights[1]) continue
      from[across] = a
      from[1] = y
      const t = castRay(f, from, ray, 2 * capMm + 1)
      if (t !== null) seen.push({ across: a, y, depth: t - 1, counts: counts(y) })
    }
  const sums = (floor: number) => {
    const sum = { first: 0, second: 0, across: 0, y: 0 }
    for (const place of seen) {
      const w = place.counts * Math.max(0, floor - place.depth)
      sum.first += w
      sum.second += w * (floor - place.depth)
      sum.across += w * place.across
      sum.y += w * place.y
    }
    return sum
  }
  let [low, high] = [0, 2 * capMm]
  for (let k = 0; k < 50; k++) {
    const floor = (low + high) / 2
    const { first, second } = sums(floor)
    if (first > 0 && second > (2 / 3) * capMm * first) high = floor
    else low = floor
  }
  const total = sums(high)
  const middle: [number, number, number] = [0, total.y / total.first, 0]
  middle[across] = total.across / total.first
  middle[out] = extreme[out]
  return middle
}
