import type { Vec3 } from './vec.ts'

/** Symmetric 3×3 matrix as its six distinct entries. */
export interface Symmetric3 {
  readonly xx: number
  readonly xy: number
  readonly xz: number
  readonly yy: number
  readonly yz: number
  readonly zz: number
}

export interface Eigen3 {
  /** Ascending. */
  readonly values: Vec3
  /** Unit, mutually perpendicular, in the order of `values`. The sign of each is arbitrary. */
  readonly vectors: readonly [Vec3, Vec3, Vec3]
}

/**
 * Eigenvalues and eigenvectors of a symmetric 3×3 matrix by cyclic Jacobi rotations (Jacobi, Crelle 1846; the
 * rotation formula of Golub & Van Loan, Matrix Computations 1996, §8.4). The zero matrix gives the unit axes.
 */
export function eigenSymmetric3(m: Symmetric3): Eigen3 {
  const a = [
    [m.xx, m.xy, m.xz],
    [m.xy, m.yy, m.yz],
    [m.xz, m.yz, m.zz],
  ]
  const v = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ]
  for (let sweep = 0; sweep < 60; sweep++) {
    if (a[0]![1] === 0 && a[0]![2] === 0 && a[1]![2] === 0) break
    rotateAway(a, v, 0, 1)
    rotateAway(a, v, 0, 2)
    rotateAway(a, v, 1, 2)
  }
  const order = [0, 1, 2].sort((i, j) => a[i]![i]! - a[j]![j]!)
  const column = (k: number): Vec3 => [v[0]![k]!, v[1]![k]!, v[2]![k]!]
  return {
    values: [a[order[0]!]![order[0]!]!, a[order[1]!]![order[1]!]!, a[order[2]!]![order[2]!]!],
    vectors: [column(order[0]!), column(order[1]!), column(order[2]!)],
  }
}

function rotateAway(a: number[][], v: number[][], p: number, q: number): void {
  const apq = a[p]![q]!
  if (apq === 0) return
  const app = a[p]![p]!
  const aqq = a[q]![q]!
  if (Math.abs(apq) <= 1e-18 * Math.sqrt(Math.abs(app * aqq))) {
    a[p]![q] = 0
    a[q]![p] = 0
    return
  }
  const theta = (aqq - app) / (2 * apq)
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.hypot(theta, 1))
  const c = 1 / Math.hypot(t, 1)
  const s = t * c
  a[p]![p] = app - t * apq
  a[q]![q] = aqq + t * apq
  a[p]![q] = 0
  a[q]![p] = 0
  const r = 3 - p - q
  const arp = a[r]![p]!
  const arq = a[r]![q]!
  a[r]![p] = c * arp - s * arq
  a[p]![r] = a[r]![p]!
  a[r]![q] = s * arp + c * arq
  a[q]![r] = a[r]![q]!
  for (let k = 0; k < 3; k++) {
    const vkp = v[k]![p]!
    const vkq = v[k]![q]!
    v[k]![p] = c * vkp - s * vkq
    v[k]![q] = s * vkp + c * vkq
  }
}

/** Weighted centroid and covariance (divided by the sum of weights) of points; weights default to 1. */
export function scatter(
  points: readonly Vec3[],
  weights?: ArrayLike<number>,
): { readonly centroid: Vec3; readonly covariance: Symmetric3; readonly totalWeight: number } {
  let w = 0
  let x = 0
  let y = 0
  let z = 0
  for (let i = 0; i < points.length; i++) {
    const p = points[i]!
    const k = weights ? weights[i]! : 1
    w += k
    x += k * p[0]
    y += k * p[1]
    z += k * p[2]
  }
  const centroid: Vec3 = w > 0 ? [x / w, y / w, z / w] : [0, 0, 0]
  let xx = 0
  let xy = 0
  let xz = 0
  let yy = 0
  let yz = 0
  let zz = 0
  for (let i = 0; i < points.length; i++) {
    const p = points[i]!
    const k = weights ? weights[i]! : 1
    const dx = p[0] - centroid[0]
    const dy = p[1] - centroid[1]
    const dz = p[2] - centroid[2]
    xx += k * dx * dx
    xy += k * dx * dy
    xz += k * dx * dz
    yy += k * dy * dy
    yz += k * dy * dz
    zz += k * dz * dz
  }
  const d = w > 0 ? w : 1
  return {
    centroid,
    covariance: { xx: xx / d, xy: xy / d, xz: xz / d, yy: yy / d, yz: yz / d, zz: zz / d },
    totalWeight: w,
  }
}
