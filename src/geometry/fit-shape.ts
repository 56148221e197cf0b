import { fail, ok, type Result } from '../failure.ts'
import { fitCircle2d, fitCylinder, fitLine, fitPlane, fitSphere } from './fit.ts'
import { median } from './median.ts'
import { planeBasis } from './plane-basis.ts'
import { seededRandom } from './random.ts'
import { addScaled, dot, length, reject, sub, type Vec3 } from './vec.ts'

export const shapeKinds = ['plane', 'line', 'circle', 'sphere', 'cylinder'] as const
export type ShapeKind = (typeof shapeKinds)[number]

/** A fitted shape in the frame of its points, mm. */
export interface FittedShape {
  readonly kind: ShapeKind
  /** On the plane, line or cylinder axis nearest the points; the centre of circle and sphere. */
  readonly point: Vec3
  /** Unit: normal of plane and circle, direction of line and axis (sign arbitrary); null for a sphere. */
  readonly direction: Vec3 | null
  /** null for plane and line. */
  readonly radiusMm: number | null
  /** Of the points that were kept. */
  readonly rmsMm: number
  readonly kept: number
  readonly rejected: number
  /** Points farther off than this were left out; null when none may be. */
  readonly limitMm: number | null
}

/** Standard deviation of a normal sample from its median absolute deviation. */
const sdPerMedian = 1.4826
/** Points this close are never outliers, mm: below what a scan resolves. */
const alwaysKeptMm = 0.05
/** A fit is settled by fewer points than a fine mesh has; residuals are those of all. */
const mostFitted = 4000

/**
 * Least-squares plane, line, circle, sphere or cylinder through points (mm), with outliers left out when `rejectBeyondSd` is
 * given: the shape through a few points with the least median residual begins (Rousseeuw, J Am Stat Assoc 1984;79:871);
 * points farther off than that many robust standard deviations (1.4826 × median absolute residual; Hampel, J Am Stat
 * Assoc 1974;69:383) go, and the rest is fitted anew until the same ones stay. Draws are seeded. Too few points, or points
 * that do not name one shape: `fit/degenerate`. `weights` default to 1.
 */
export function fitShape(
  kind: ShapeKind,
  points: readonly Vec3[],
  { weights, rejectBeyondSd = null }: { readonly weights?: ArrayLike<number>; readonly rejectBeyondSd?: number | null },
): Result<FittedShape> {
  const sample = spread(points.length, mostFitted)
  const fitTo = (chosen: readonly number[]) =>
    plainFit(
      kind,
      chosen.map((i) => points[i]!),
      weights && chosen.map((i) => weights[i]!),
    )
  if (rejectBeyondSd === null) {
    const fit = fitTo(sample)
    return fit.ok ? ok({ ...fit.value, kept: points.length, rejected: 0, limitMm: null }) : fit
  }
  let shape = leastMedian(kind, points, fitTo(sample))
  let chosen: readonly number[] = []
  for (let round = 0; ; round++) {
    if (!shape.ok) return shape
    const fitted = shape.value
    const off = points.map((p) => Math.abs(distanceToShape(fitted, p)))
    const limitMm = Math.max(alwaysKeptMm, rejectBeyondSd * sdPerMedian * median(sample.map((i) => off[i]!)))
    const next = sample.filter((i) => off[i]! <= limitMm)
    if (round === 20 || (next.length === chosen.length && next.every((i, k) => i === chosen[k]))) {
      const kept = off.filter((mm) => mm <= limitMm).length
      return ok({ ...fitted, kept, rejected: off.length - kept, limitMm })
    }
    chosen = next
    shape = fitTo(chosen)
  }
}

/** Points that name one shape, and a few more so that one bad triple does not. */
const fewest: Readonly<Record<ShapeKind, number>> = { plane: 4, line: 3, circle: 4, sphere: 5, cylinder: 8 }
const draws = 60
const judgedBy = 400

/** Of the plain fit and of fits to a few points drawn at random, the one whose median residual is least. */
function leastMedian(kind: ShapeKind, points: readonly Vec3[], plain: Result<PlainFit>): Result<PlainFit> {
  if (!plain.ok || points.length <= fewest[kind]) return plain
  const judges = spread(points.length, judgedBy).map((i) => points[i]!)
  const judge = (shape: PlainFit) => median(judges.map((p) => Math.abs(distanceToShape(shape, p))))
  const random = seededRandom(1)
  let best = plain.value
  let least = judge(best)
  for (let draw = 0; draw < draws && least > alwaysKeptMm / 10; draw++) {
    const few = Array.from({ length: fewest[kind] }, () => points[Math.floor(random() * points.length)]!)
    const fit = plainFit(kind, few)
    const off = fit.ok ? judge(fit.value) : Infinity
    if (fit.ok && off < least) {
      best = fit.value
      least = off
    }
  }
  return ok(best)
}

/** At most `most` of the numbers 0 … count − 1, evenly spread. */
function spread(count: number, most: number): readonly number[] {
  const stride = Math.max(1, Math.ceil(count / most))
  return Array.from({ length: Math.ceil(count / stride) }, (_, k) => k * stride)
}

/** How far a point lies off the shape, mm: signed for plane (along its normal), sphere and cylinder (outside positive). */
export function distanceToShape(
  shape: Pick<FittedShape, 'kind' | 'point' | 'direction' | 'radiusMm'>,
  p: Vec3,
): number {
  const d = sub(p, shape.point)
  const direction = shape.direction ?? [0, 0, 0]
  const radius = shape.radiusMm ?? 0
  switch (shape.kind) {
    case 'plane':
      return dot(d, direction)
    case 'line':
      return length(reject(d, direction))
    case 'circle':
      return Math.hypot(length(reject(d, direction)) - radius, dot(d, direction))
    case 'sphere':
      return length(d) - radius
    case 'cylinder':
      return length(reject(d, direction)) - radius
  }
}

type PlainFit = Pick<FittedShape, 'kind' | 'point' | 'direction' | 'radiusMm' | 'rmsMm'>

function plainFit(kind: ShapeKind, points: readonly Vec3[], weights?: ArrayLike<number>): Result<PlainFit> {
  switch (kind) {
    case 'plane': {
      const fit = fitPlane(points, weights)
      return fit.ok
        ? ok({ kind, point: fit.value.point, direction: fit.value.normal, radiusMm: null, rmsMm: fit.value.rmsMm })
        : fit
    }
    case 'line': {
      const fit = fitLine(points, weights)
      return fit.ok ? ok({ kind, ...fit.value, radiusMm: null }) : fit
    }
    case 'circle':
      return circleInSpace(points, weights)
    case 'sphere': {
      const fit = fitSphere(points, weights)
      if (!fit.ok) return fit
      const { centre, radiusMm, rmsMm } = fit.value
      return ok({ kind, point: centre, direction: null, radiusMm, rmsMm })
    }
    case 'cylinder': {
      const fit = fitCylinder(points, weights ? { weights } : {})
      return fit.ok ? ok({ kind, ...fit.value }) : fit
    }
  }
}

/** The circle in the best plane of the points. */
function circleInSpace(points: readonly Vec3[], weights?: ArrayLike<number>): Result<PlainFit> {
  const plane = fitPlane(points, weights)
  if (!plane.ok) return fail('fit/degenerate', 'A circle needs three points that do not lie on a line.')
  const { point, normal } = plane.value
  const [u, v] = planeBasis(normal)
  const flat = points.map((p): readonly [number, number] => [dot(sub(p, point), u), dot(sub(p, point), v)])
  const fit = fitCircle2d(flat, weights)
  if (!fit.ok) return fit
  const { centre, radiusMm, rmsMm } = fit.value
  return ok({
    kind: 'circle',
    point: addScaled(addScaled(point, u, centre[0]), v, centre[1]),
    direction: normal,
    radiusMm,
    rmsMm: Math.hypot(rmsMm, plane.value.rmsMm),
  })
}
