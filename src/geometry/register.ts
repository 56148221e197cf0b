import { eigenSymmetric3, scatter } from './fit-eigen.ts'
import { solvePositive } from './fit-solver.ts'
import { triangleNormal } from './measure.ts'
import type { Mesh } from './mesh.ts'
import { closestPoint } from './query.ts'
import { compose, identityRigid, type Mat3, mapPoint, mapVector, type Rigid, rotationAbout } from './rigid.ts'
import { type SurfacePoint, sampleSurface } from './sample-surface.ts'
import type { MeshTree } from './tree.ts'
import { add, addScaled, cross, distance, dot, length, scale, sub, toDeg, unit, type Vec3 } from './vec.ts'

/** How one surface was laid on another. */
export interface Registration {
  readonly fixedFromMoving: Rigid
  /** Root mean square distance of the sampled points that lie on the other surface, mm. */
  readonly rmsMm: number
  /** Share of the sampled surface that lies on the other one (0…1); the rest was trimmed. */
  readonly share: number
  /** Turn, and way of the moving surface's centre, from where it lay, degrees and mm. */
  readonly turnedDeg: number
  readonly movedMm: number
}

/**
 * Lays a surface (`moving`, mm, any frame) on another of the same object (`fixed`), of which it may lack parts or have parts of
 * its own: iterative closest points by point-to-plane distance (Chen and Medioni, Image Vision Comput 1992; trimmed as Chetverikov
 * et al., Image Vision Comput 2005), from where it lies and from turns about its principal axes. Deterministic. A surface
 * without area stays where it is, with share 0.
 */
export function register(moving: Mesh, fixed: MeshTree): Registration {
  const coarse = sampleSurface(moving, 250, 1)
  if (coarse.length < 12) return { fixedFromMoving: identityRigid, rmsMm: 0, share: 0, turnedDeg: 0, movedMm: 0 }
  const target = sampleSurface(fixed.mesh, 2000, 2)
  const tried = [identityRigid, ...startsOf(coarse, target)].map((start) => {
    const lain = icp(coarse, fixed, start, 12)
    return { at: lain, cost: trimmedCost(coarse, fixed, lain) }
  })
  tried.sort((a, b) => a.cost - b.cost)
  const finer = sampleSurface(moving, 800, 3)
  const kept = tried.slice(0, 3).map(({ at }) => {
    const lain = icp(finer, fixed, at, 40)
    return { at: lain, cost: trimmedCost(finer, fixed, lain) }
  })
  kept.sort((a, b) => a.cost - b.cost)
  const fine = sampleSurface(moving, 4000, 4)
  const refined = icp(fine, fixed, kept[0]!.at, 40)
  return judged(fine, fixed, polished(fine, fixed, refined))
}

/** How a surface lies on another without being moved. */
export function asItLies(moving: Mesh, fixed: MeshTree): Registration {
  const points = sampleSurface(moving, 4000, 4)
  return points.length === 0
    ? { fixedFromMoving: identityRigid, rmsMm: 0, share: 0, turnedDeg: 0, movedMm: 0 }
    : judged(points, fixed, identityRigid)
}

/** Of a surface from which parts were sawn, at least this share is taken to be common while it is laid on the whole. */
const commonShare = 0.6
/** Surfaces facing each other at more than 45° are not the same surface. */
const facing = Math.SQRT1_2
/** Beyond this from the other surface a point is not on it, mm. */
const onSurfaceMm = 1

interface Pair {
  readonly point: Vec3
  /** Outward normal of the fixed surface and the signed distance along it. */
  readonly normal: Vec3
  readonly offMm: number
  readonly distanceMm: number
}

function pairsAt(points: readonly SurfacePoint[], fixed: MeshTree, at: Rigid): readonly Pair[] {
  const pairs: Pair[] = []
  for (const { point, normal } of points) {
    const p = mapPoint(at, point)
    const hit = closestPoint(fixed, p)
    if (hit === null) continue
    const surface = triangleNormal(fixed.mesh, hit.triangle)
    if (dot(surface, mapVector(at, normal)) < facing) continue
    pairs.push({ point: p, normal: surface, offMm: dot(sub(p, hit.point), surface), distanceMm: hit.distanceMm })
  }
  return pairs
}

const byDistance = (a: Pair, b: Pair) => a.distanceMm - b.distanceMm

/** The nearest pairs; without enough that face each other, none. */
function trimmed(points: readonly SurfacePoint[], fixed: MeshTree, at: Rigid): readonly Pair[] {
  const most = Math.floor(commonShare * points.length)
  return [...pairsAt(points, fixed, at)].sort(byDistance).slice(0, most)
}

/** Mean distance over the common share; points that face nothing count as far off. */
function trimmedCost(points: readonly SurfacePoint[], fixed: MeshTree, at: Rigid): number {
  const pairs = trimmed(points, fixed, at)
  const missing = Math.floor(commonShare * points.length) - pairs.length
  const far = 20
  return (pairs.reduce((sum, { distanceMm }) => sum + Math.min(far, distanceMm), 0) + far * missing) / points.length
}

function icp(points: readonly SurfacePoint[], fixed: MeshTree, start: Rigid, most: number): Rigid {
  let at = start
  for (let k = 0; k < most; k++) {
    const moved = stepped(trimmed(points, fixed, at), at)
    if (moved === null) return at
    at = moved.at
    if (moved.stepMm < 1e-6) return at
  }
  return at
}

/** The last steps use every point that lies on the surface, however many. */
function polished(points: readonly SurfacePoint[], fixed: MeshTree, start: Rigid): Rigid {
  let at = start
  for (let k = 0; k < 20; k++) {
    const pairs = pairsAt(points, fixed, at)
    const near = [...pairs].sort(byDistance)
    const median = near[Math.floor((commonShare / 2) * near.length)]?.distanceMm ?? onSurfaceMm
    const cutoff = Math.min(onSurfaceMm, Math.max(0.02, 4 * median))
    const moved = stepped(
      pairs.filter(({ distanceMm }) => distanceMm <= cutoff),
      at,
    )
    if (moved === null) return at
    at = moved.at
    if (moved.stepMm < 1e-7) return at
  }
  return at
}

/** One point-to-plane step about the middle of the pairs; null where they do not hold all six freedoms. */
function stepped(pairs: readonly Pair[], at: Rigid): { readonly at: Rigid; readonly stepMm: number } | null {
  if (pairs.length < 12) return null
  const middle = scale(
    pairs.reduce<Vec3>((sum, { point }) => add(sum, point), [0, 0, 0]),
    1 / pairs.length,
  )
  // Turns are counted in mm at this arm, so that the six numbers are alike.
  const arm = Math.max(
    1,
    Math.sqrt(pairs.reduce((sum, { point }) => sum + distance(point, middle) ** 2, 0) / pairs.length),
  )
  const a = new Float64Array(36)
  const b = new Float64Array(6)
  for (const { point, normal, offMm } of pairs) {
    const turn = scale(cross(sub(point, middle), normal), 1 / arm)
    const row = [turn[0], turn[1], turn[2], normal[0], normal[1], normal[2]]
    for (let i = 0; i < 6; i++) {
      b[i]! -= row[i]! * offMm
      for (let j = 0; j < 6; j++) a[6 * i + j]! += row[i]! * row[j]!
    }
  }
  for (let i = 0; i < 6; i++) a[7 * i]! += 1e-6 * pairs.length
  const x = solvePositive(a, b, 6)
  if (x === null) return null
  const turned: Vec3 = [x[0]! / arm, x[1]! / arm, x[2]! / arm]
  const angle = length(turned)
  const rotation: Mat3 = angle > 0 ? rotationAbout(turned, angle) : identityRigid.rotation
  const about: Rigid = { rotation, translation: sub(middle, mapVector({ rotation, translation: [0, 0, 0] }, middle)) }
  const shifted: Rigid = { rotation, translation: add(about.translation, [x[3]!, x[4]!, x[5]!]) }
  return { at: compose(shifted, at), stepMm: Math.hypot(...x) }
}

/** Turns in steps of 30° about the long axis, either end up, with middles or either ends together. */
function startsOf(moving: readonly SurfacePoint[], fixed: readonly SurfacePoint[]): readonly Rigid[] {
  const [from, to] = [principal(moving), principal(fixed)]
  const starts: Rigid[] = []
  for (const up of [1, -1]) {
    for (let deg = 0; deg < 360; deg += 30) {
      const long = scale(to.long, up)
      const across = mapVector(
        { rotation: rotationAbout(long, (deg * Math.PI) / 180), translation: [0, 0, 0] },
        to.wide,
      )
      const rotation = between(frameOf(from.long, from.wide), frameOf(long, across))
      const placed = (a: number, b: number): Rigid => {
        const target = addScaled(to.middle, long, b)
        const source = mapVector({ rotation, translation: [0, 0, 0] }, addScaled(from.middle, from.long, a))
        return { rotation, translation: sub(target, source) }
      }
      const [low, high] = up > 0 ? [to.low, to.high] : [-to.high, -to.low]
      starts.push(placed(0, 0), placed(from.high, high), placed(from.low, low))
    }
  }
  return starts
}

interface Principal {
  readonly middle: Vec3
  readonly long: Vec3
  readonly wide: Vec3
  /** Ends along the long axis, from the middle. */
  readonly low: number
  readonly high: number
}

function principal(points: readonly SurfacePoint[]): Principal {
  const at = points.map(({ point }) => point)
  const { centroid: middle, covariance } = scatter(at)
  const { vectors } = eigenSymmetric3(covariance)
  const [, wide, long] = vectors
  const along = at.map((p) => dot(sub(p, middle), long))
  return { middle, long, wide, low: Math.min(...along), high: Math.max(...along) }
}

type Axes = readonly [Vec3, Vec3, Vec3]

function frameOf(long: Vec3, wide: Vec3): Axes {
  const y = unit(long)
  const z = unit(cross(wide, y))
  return [cross(y, z), y, z]
}

/** The rotation that brings the first axes onto the second. */
function between([ax, ay, az]: Axes, [bx, by, bz]: Axes): Mat3 {
  const at = (r: 0 | 1 | 2, c: 0 | 1 | 2) => bx[r] * ax[c] + by[r] * ay[c] + bz[r] * az[c]
  return [at(0, 0), at(0, 1), at(0, 2), at(1, 0), at(1, 1), at(1, 2), at(2, 0), at(2, 1), at(2, 2)]
}

function judged(points: readonly SurfacePoint[], fixed: MeshTree, at: Rigid): Registration {
  const on = pairsAt(points, fixed, at).filter(({ distanceMm }) => distanceMm <= onSurfaceMm)
  const middle = scale(
    points.reduce<Vec3>((sum, { point }) => add(sum, point), [0, 0, 0]),
    1 / points.length,
  )
  const m = at.rotation
  const cosine = Math.min(1, Math.max(-1, (m[0] + m[4] + m[8] - 1) / 2))
  return {
    fixedFromMoving: at,
    rmsMm: on.length === 0 ? 0 : Math.sqrt(on.reduce((sum, { distanceMm }) => sum + distanceMm ** 2, 0) / on.length),
    share: on.length / points.length,
    turnedDeg: toDeg(Math.acos(cosine)),
    movedMm: distance(mapPoint(at, middle), middle),
  }
}
