import { fail, ok, type Result } from '../failure.ts'
import { eigenSymmetric3, scatter } from './fit-eigen.ts'
import { leastSquares, solvePositive } from './fit-solver.ts'
import { add, addScaled, anyPerpendicular, cross, dot, scale, sub, unit, type Vec3 } from './vec.ts'

export type Vec2 = readonly [number, number]

export interface CircleFit {
  readonly centre: Vec2
  readonly radiusMm: number
  readonly rmsMm: number
}
export interface SphereFit {
  readonly centre: Vec3
  readonly radiusMm: number
  readonly rmsMm: number
}
export interface CylinderFit {
  /** The point of the axis nearest the points' centroid. */
  readonly point: Vec3
  /** Unit; its sign is arbitrary. */
  readonly direction: Vec3
  readonly radiusMm: number
  readonly rmsMm: number
}

/**
 * Least-squares circle through points of a plane (mm): linear start (Kåsa, IEEE Trans Instrum Meas 1976), then the
 * sum of squared distances to the circle is minimised (Gander, Golub & Strebel, BIT 1994). Fewer than three points or
 * points on a line: Failure `fit/degenerate`. `weights` default to 1.
 */
export function fitCircle2d(points: readonly Vec2[], weights?: ArrayLike<number>): Result<CircleFit> {
  const flat: Vec3[] = points.map((p) => [p[0], p[1], 0])
  const round = fitRound(flat, 2, weights)
  if (!round.ok) return round
  const { centre, radiusMm, rmsMm } = round.value
  return ok({ centre: [centre[0], centre[1]], radiusMm, rmsMm })
}

/**
 * Least-squares sphere through points (mm): linear start, then the sum of squared distances to the sphere is
 * minimised. Fewer than four points or points in a plane: Failure `fit/degenerate`. `weights` default to 1.
 */
export function fitSphere(points: readonly Vec3[], weights?: ArrayLike<number>): Result<SphereFit> {
  return fitRound(points, 3, weights)
}

function fitRound(points: readonly Vec3[], dimension: 2 | 3, weights?: ArrayLike<number>): Result<SphereFit> {
  const what = dimension === 2 ? 'circle' : 'sphere'
  if (points.length < dimension + 1)
    return fail('fit/degenerate', `A ${what} needs ${dimension === 2 ? 'three' : 'four'} points.`)
  const { centroid, covariance, totalWeight } = scatter(points, weights)
  const { values } = eigenSymmetric3(covariance)
  const size = Math.sqrt(values[2])
  const thinnest = dimension === 2 ? values[1] : values[0]
  if (!Number.isFinite(size) || !(thinnest > 1e-14 * values[2]))
    return fail('fit/degenerate', `The points do not span a ${what}.`)
  const q = points.map((p) => scale(sub(p, centroid), 1 / size))
  const root = rootWeights(points.length, weights)
  const start = kasaStart(q, root, dimension)
  if (start === null) return fail('fit/degenerate', `The points do not span a ${what}.`)
  const n = dimension + 1
  const fit = leastSquares(
    start,
    n,
    (s) => {
      const residuals = new Float64Array(q.length)
      const jacobian = new Float64Array(q.length * n)
      for (let i = 0; i < q.length; i++) {
        const d = sub(q[i]!, s.centre)
        const l = Math.hypot(d[0], d[1], d[2])
        const w = root[i]!
        residuals[i] = w * (l - s.radius)
        const k = l > 0 ? -w / l : 0
        jacobian[i * n] = k * d[0]
        jacobian[i * n + 1] = k * d[1]
        if (dimension === 3) jacobian[i * n + 2] = k * d[2]
        jacobian[i * n + dimension] = -w
      }
      return { residuals, jacobian }
    },
    (s, step) => ({
      centre: add(s.centre, [step[0]!, step[1]!, dimension === 3 ? step[2]! : 0]),
      radius: s.radius + step[dimension]!,
    }),
  )
  const radius = fit.state.radius
  if (!(radius > 0 && radius < 1e6)) return fail('fit/degenerate', `The points are too flat for a ${what}.`)
  return ok({
    centre: addScaled(centroid, fit.state.centre, size),
    radiusMm: radius * size,
    rmsMm: Math.sqrt(fit.sumSquares / totalWeight) * size,
  })
}

interface Round {
  readonly centre: Vec3
  readonly radius: number
}

/** |p|² = 2 c·p + k solved linearly; exact points give the exact answer. */
function kasaStart(q: readonly Vec3[], root: Float64Array, dimension: 2 | 3): Round | null {
  const n = dimension + 1
  const a = new Float64Array(n * n)
  const b = new Float64Array(n)
  const row = new Float64Array(n)
  for (let i = 0; i < q.length; i++) {
    const p = q[i]!
    const w = root[i]! * root[i]!
    for (let k = 0; k < dimension; k++) row[k] = 2 * p[k]!
    row[dimension] = 1
    const square = dot(p, p)
    for (let r = 0; r < n; r++) {
      b[r]! += w * row[r]! * square
      for (let c = 0; c < n; c++) a[r * n + c]! += w * row[r]! * row[c]!
    }
  }
  const x = solvePositive(a, b, n)
  if (x === null) return null
  const centre: Vec3 = [x[0]!, x[1]!, dimension === 3 ? x[2]! : 0]
  const square = x[dimension]! + dot(centre, centre)
  return { centre, radius: Math.sqrt(Math.max(square, 1e-12)) }
}

/**
 * Least-squares cylinder through points (mm): the best linear circle over a fan of axis directions (or `start`, a
 * direction near the axis) starts; the sum of squared distances to the surface is then minimised over all five
 * parameters (Shakarji, J Res NIST 1998;103:633). Fewer than six points or points in a plane: `fit/degenerate`.
 */
export function fitCylinder(
  points: readonly Vec3[],
  options: { readonly start?: Vec3; readonly weights?: ArrayLike<number> } = {},
): Result<CylinderFit> {
  if (points.length < 6) return fail('fit/degenerate', 'A cylinder needs six points.')
  const { centroid, covariance, totalWeight } = scatter(points, options.weights)
  const { values, vectors } = eigenSymmetric3(covariance)
  const size = Math.sqrt(values[2])
  if (!Number.isFinite(size) || !(values[0] > 1e-14 * values[2]))
    return fail('fit/degenerate', 'The points do not span a cylinder.')
  const q = points.map((p) => scale(sub(p, centroid), 1 / size))
  const root = rootWeights(points.length, options.weights)
  const directions = options.start ? [unit(options.start)] : hemisphere(vectors)
  let best: { state: Tube; cost: number } | null = null
  const starts = directions
    .map((d) => circleAcross(q, root, d))
    .filter((s) => s !== null)
    .sort((s, t) => s.cost - t.cost)
    .slice(0, 4)
  for (const start of starts) {
    const fit = leastSquares(start.state, 5, (s) => lineariseTube(q, root, s), moveTube)
    if (best === null || fit.sumSquares < best.cost) best = { state: fit.state, cost: fit.sumSquares }
  }
  if (best === null || !(best.state.radius > 0 && best.state.radius < 1e5))
    return fail('fit/degenerate', 'The points do not span a cylinder.')
  const { point, direction, radius } = best.state
  const near = addScaled(point, direction, -dot(point, direction))
  return ok({
    point: addScaled(centroid, near, size),
    direction,
    radiusMm: radius * size,
    rmsMm: Math.sqrt(best.cost / totalWeight) * size,
  })
}

interface Tube {
  readonly point: Vec3
  readonly direction: Vec3
  readonly radius: number
}

function hemisphere(axes: readonly [Vec3, Vec3, Vec3]): Vec3[] {
  const out: Vec3[] = []
  const rings = 6
  for (let i = 0; i <= rings; i++) {
    const polar = (i / rings) * (Math.PI / 2)
    const count = i === 0 ? 1 : 4 * i
    for (let k = 0; k < count; k++) {
      const turn = (2 * Math.PI * k) / count
      const a = scale(axes[2], Math.cos(polar))
      const b = scale(axes[1], Math.sin(polar) * Math.cos(turn))
      out.push(unit(add(add(a, b), scale(axes[0], Math.sin(polar) * Math.sin(turn)))))
    }
  }
  return out
}

function circleAcross(q: readonly Vec3[], root: Float64Array, direction: Vec3): { state: Tube; cost: number } | null {
  const u = anyPerpendicular(direction)
  const v = cross(direction, u)
  const flat: Vec3[] = q.map((p) => [dot(p, u), dot(p, v), 0])
  const start = kasaStart(flat, root, 2)
  if (start === null) return null
  let cost = 0
  for (let i = 0; i < flat.length; i++) {
    const d = Math.hypot(flat[i]![0] - start.centre[0], flat[i]![1] - start.centre[1]) - start.radius
    cost += (root[i]! * d) ** 2
  }
  const point = addScaled(scale(u, start.centre[0]), v, start.centre[1])
  return { state: { point, direction, radius: start.radius }, cost }
}

function lineariseTube(q: readonly Vec3[], root: Float64Array, s: Tube) {
  const residuals = new Float64Array(q.length)
  const jacobian = new Float64Array(q.length * 5)
  const u = anyPerpendicular(s.direction)
  const v = cross(s.direction, u)
  for (let i = 0; i < q.length; i++) {
    const d = sub(q[i]!, s.point)
    const along = dot(d, s.direction)
    const a = dot(d, u)
    const b = dot(d, v)
    const l = Math.hypot(a, b)
    const w = root[i]!
    residuals[i] = w * (l - s.radius)
    const k = l > 0 ? -w / l : 0
    jacobian[i * 5] = k * a
    jacobian[i * 5 + 1] = k * b
    jacobian[i * 5 + 2] = k * a * along
    jacobian[i * 5 + 3] = k * b * along
    jacobian[i * 5 + 4] = -w
  }
  return { residuals, jacobian }
}

function moveTube(s: Tube, step: Float64Array): Tube {
  const u = anyPerpendicular(s.direction)
  const v = cross(s.direction, u)
  return {
    point: addScaled(addScaled(s.point, u, step[0]!), v, step[1]!),
    direction: unit(addScaled(addScaled(s.direction, u, step[2]!), v, step[3]!)),
    radius: s.radius + step[4]!,
  }
}

function rootWeights(n: number, weights?: ArrayLike<number>): Float64Array {
  const root = new Float64Array(n).fill(1)
  if (weights) for (let i = 0; i < n; i++) root[i] = Math.sqrt(Math.max(weights[i]!, 0))
  return root
}
