import { eigenSymmetric3 } from './fit-eigen.ts'
import type { Vec3 } from './vec.ts'

/**
 * How far the points (3n coordinates) reach along their own directions of most, middle and least scatter, longest
 * first: the same in every frame, unlike a box. No points: zeros.
 */
export function principalExtents(positions: Float64Array): Vec3 {
  const n = positions.length / 3
  if (n === 0) return [0, 0, 0]
  let mx = 0
  let my = 0
  let mz = 0
  for (let i = 0; i < positions.length; i += 3) {
    mx += positions[i]! / n
    my += positions[i + 1]! / n
    mz += positions[i + 2]! / n
  }
  let xx = 0
  let xy = 0
  let xz = 0
  let yy = 0
  let yz = 0
  let zz = 0
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]! - mx
    const y = positions[i + 1]! - my
    const z = positions[i + 2]! - mz
    xx += x * x
    xy += x * y
    xz += x * z
    yy += y * y
    yz += y * z
    zz += z * z
  }
  const { vectors } = eigenSymmetric3({ xx, xy, xz, yy, yz, zz })
  const low = new Float64Array(3).fill(Number.POSITIVE_INFINITY)
  const high = new Float64Array(3).fill(Number.NEGATIVE_INFINITY)
  for (let i = 0; i < positions.length; i += 3)
    for (let k = 0; k < 3; k++) {
      const d = vectors[k]!
      const s = (positions[i]! - mx) * d[0] + (positions[i + 1]! - my) * d[1] + (positions[i + 2]! - mz) * d[2]
      if (s < low[k]!) low[k] = s
      if (s > high[k]!) high[k] = s
    }
  const [a = 0, b = 0, c = 0] = high
    .map((most, k) => most - low[k]!)
    .sort()
    .reverse()
  return [a, b, c]
}
