import type { BoneMesh } from '../geometry/bone.ts'
import { planeBasis } from '../geometry/plane-basis.ts'
import { section } from '../geometry/section.ts'
import { add, addScaled, distance, dot, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'

/** Where the neck is looked at, in radii of the head from its centre. */
const stations = [1.1, 1.17, 1.24, 1.31, 1.38]
const mostRounds = 20
/** Rounds in which sections that lie far off still count, to find the neck at all. */
const roughRounds = 3

/**
 * Direction of a femoral neck (unit, from the head centre into the shaft, patient frame): through the head centre and the area
 * centroids of five sections across the neck, 1.10 to 1.38 head radii away, turned until it stays. `start` points roughly into
 * the shaft. Null where the sections do not meet the neck.
 */
export function neckAxis(bone: BoneMesh, headCentre: Vec3, radiusMm: number, start: Vec3): Vec3 | null {
  let axis = unit(start)
  for (let round = 0; round < mostRounds; round++) {
    let sum: Vec3 = [0, 0, 0]
    let met = 0
    for (const station of stations) {
      const point = addScaled(headCentre, axis, station * radiusMm)
      const centre = nearestCentroid(section(bone.tree, { point, normal: axis }).loops, axis, point)
      if (centre === null || distance(centre, point) > (round < roughRounds ? 2 : 1) * radiusMm) continue
      sum = add(sum, scale(sub(centre, headCentre), 1 / station))
      met++
    }
    if (met < 3) return null
    const next = unit(sum)
    const moved = distance(next, axis)
    axis = next
    if (moved < 1e-6 && round >= roughRounds) break
  }
  return axis
}

/** Of the loops of a section the area centroid nearest a point of its plane. */
function nearestCentroid(loops: readonly (readonly Vec3[])[], normal: Vec3, near: Vec3): Vec3 | null {
  const [u, v] = planeBasis(normal)
  let best: Vec3 | null = null
  for (const loop of loops) {
    let area = 0
    let a = 0
    let b = 0
    for (let i = 0; i < loop.length; i++) {
      const p = sub(loop[i]!, near)
      const q = sub(loop[(i + 1) % loop.length]!, near)
      const [px, py, qx, qy] = [dot(p, u), dot(p, v), dot(q, u), dot(q, v)]
      const twice = px * qy - qx * py
      area += twice
      a += (px + qx) * twice
      b += (py + qy) * twice
    }
    if (Math.abs(area) < 1e-9) continue
    const centre = addScaled(addScaled(near, u, a / (3 * area)), v, b / (3 * area))
    if (best === null || distance(centre, near) < distance(best, near)) best = centre
  }
  return best
}
