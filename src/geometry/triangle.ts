import { addScaled, cross, dot, sub, type Vec3 } from './vec.ts'

/**
 * Point of triangle abc nearest to p: the projection when it falls inside, else the nearest point of the nearest edge. A triangle without
 * area is treated as its edges.
 */
export function closestOnTriangle(p: Vec3, a: Vec3, b: Vec3, c: Vec3): Vec3 {
  const n = cross(sub(b, a), sub(c, a))
  const nn = dot(n, n)
  if (nn > 0) {
    const ap = sub(p, a)
    // Signed areas against the three edges, scaled by |n|².
    const overAb = dot(cross(sub(b, a), ap), n)
    const overCa = dot(cross(ap, sub(c, a)), n)
    const overBc = nn - overAb - overCa
    if (overAb >= 0 && overCa >= 0 && overBc >= 0) return addScaled(p, n, -dot(ap, n) / nn)
  }
  let best = closestOnSegment(p, a, b)
  for (const q of [closestOnSegment(p, b, c), closestOnSegment(p, c, a)]) {
    if (squaredDistance(p, q) < squaredDistance(p, best)) best = q
  }
  return best
}

/** Point of the segment ab nearest to p; a when the segment has no length. */
export function closestOnSegment(p: Vec3, a: Vec3, b: Vec3): Vec3 {
  const ab = sub(b, a)
  const length2 = dot(ab, ab)
  if (length2 === 0) return a
  const t = dot(sub(p, a), ab) / length2
  return t <= 0 ? a : t >= 1 ? b : addScaled(a, ab, t)
}

const squaredDistance = (p: Vec3, q: Vec3): number => {
  const d = sub(p, q)
  return dot(d, d)
}
