import { fail, ok, type Result } from '../failure.ts'
import { eigenSymmetric3, scatter } from './fit-eigen.ts'
import type { Vec3 } from './vec.ts'

export { eigenSymmetric3, scatter } from './fit-eigen.ts'
export {
  type CircleFit,
  type CylinderFit,
  fitCircle2d,
  fitCylinder,
  fitSphere,
  type SphereFit,
  type Vec2,
} from './fit-round.ts'

export interface PlaneFit {
  /** Weighted centroid of the points, mm. */
  readonly point: Vec3
  /** Unit; its sign is arbitrary. */
  readonly normal: Vec3
  readonly rmsMm: number
}

export interface LineFit {
  readonly point: Vec3
  /** Unit; its sign is arbitrary. */
  readonly direction: Vec3
  readonly rmsMm: number
}

/**
 * Plane of least squared perpendicular distances to the points (mm): through their centroid, normal to the direction
 * of least scatter (Pearson, Phil Mag 1901). Fewer than three points or points on a line: `fit/degenerate`.
 */
export function fitPlane(points: readonly Vec3[], weights?: ArrayLike<number>): Result<PlaneFit> {
  if (points.length < 3) return fail('fit/degenerate', 'A plane needs three points.')
  const { centroid, covariance } = scatter(points, weights)
  const { values, vectors } = eigenSymmetric3(covariance)
  if (!Number.isFinite(values[2]) || !(values[1] > 1e-14 * values[2]))
    return fail('fit/degenerate', 'The points lie on a line.')
  return ok({ point: centroid, normal: vectors[0], rmsMm: Math.sqrt(Math.max(values[0], 0)) })
}

/**
 * Line of least squared perpendicular distances to the points (mm): through their centroid along the direction of
 * most scatter (Pearson, Phil Mag 1901). Fewer than two points or all in one place: `fit/degenerate`.
 */
export function fitLine(points: readonly Vec3[], weights?: ArrayLike<number>): Result<LineFit> {
  if (points.length < 2) return fail('fit/degenerate', 'A line needs two points.')
  const { centroid, covariance } = scatter(points, weights)
  const { values, vectors } = eigenSymmetric3(covariance)
  if (!(values[2] > 0) || !Number.isFinite(values[2]) || !(values[1] < values[2] * (1 - 1e-9)))
    return fail('fit/degenerate', 'The points do not name one line.')
  return ok({
    point: centroid,
    direction: vectors[2],
    rmsMm: Math.sqrt(Math.max(values[0] + values[1], 0)),
  })
}
