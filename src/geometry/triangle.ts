import { addScaled, cross, dot, sub, type Vec3 } from './vec.ts'

/**
 * Point of triangle abc nearest to p: the projection when it falls inside, else the nearest point of the nearest
 * edge. A triangle without area is treated as its edges.
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

/**
 * Squared distance of (x, y, z) to the triangle whose corners' coordinates start at i, j, l: the same as to
 * `closestOnTriangle`, without making the point.
 */
export function squaredDistanceToTriangle(
  p: Float64Array,
  i: number,
  j: number,
  l: number,
  x: number,
  y: number,
  z: number,
): number {
  const ux = p[j]! - p[i]!
  const uy = p[j + 1]! - p[i + 1]!
  const uz = p[j + 2]! - p[i + 2]!
  const vx = p[l]! - p[i]!
  const vy = p[l + 1]! - p[i + 1]!
  const vz = p[l + 2]! - p[i + 2]!
  const sx = x - p[i]!
  const sy = y - p[i + 1]!
  const sz = z - p[i + 2]!
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  const nn = nx * nx + ny * ny + nz * nz
  const overAb = (uy * sz - uz * sy) * nx + (uz * sx - ux * sz) * ny + (ux * sy - uy * sx) * nz
  const overCa = (sy * vz - sz * vy) * nx + (sz * vx - sx * vz) * ny + (sx * vy - sy * vx) * nz
  if (nn > 0 && overAb >= 0 && overCa >= 0 && nn - overAb - overCa >= 0) {
    const along = sx * nx + sy * ny + sz * nz
    return (along * along) / nn
  }
  return Math.min(
    squaredToSegment(sx, sy, sz, ux, uy, uz),
    squaredToSegment(sx, sy, sz, vx, vy, vz),
    squaredToSegment(sx - ux, sy - uy, sz - uz, vx - ux, vy - uy, vz - uz),
  )
}

/** Squared distance of s to the segment from the origin to d. */
function squaredToSegment(sx: number, sy: number, sz: number, dx: number, dy: number, dz: number): number {
  const length2 = dx * dx + dy * dy + dz * dz
  const along = sx * dx + sy * dy + sz * dz
  const t = along <= 0 || length2 === 0 ? 0 : along >= length2 ? 1 : along / length2
  const ex = sx - t * dx
  const ey = sy - t * dy
  const ez = sz - t * dz
  return ex * ex + ey * ey + ez * ez
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

/** The normal of the triangle whose corners' coordinates start at i, j, l, as long as twice its area, written into `out`. */
export function writeAreaNormal(p: Float64Array, i: number, j: number, l: number, out: Float64Array): void {
  const ux = p[j]! - p[i]!
  const uy = p[j + 1]! - p[i + 1]!
  const uz = p[j + 2]! - p[i + 2]!
  const vx = p[l]! - p[i]!
  const vy = p[l + 1]! - p[i + 1]!
  const vz = p[l + 2]! - p[i + 2]!
  out[0] = uy * vz - uz * vy
  out[1] = uz * vx - ux * vz
  out[2] = ux * vy - uy * vx
}
