import { fail, ok, type Result } from '../failure.ts'
import { eigenSymmetric3 } from './fit-eigen.ts'
import { solvePositive } from './fit-solver.ts'
import { closestPoint } from './query.ts'
import { patchUnder, type SurfacePatch } from './surface-patch.ts'
import type { MeshTree } from './tree.ts'
import { addScaled, anyPerpendicular, cross, distance, dot, sub, unit, type Vec3 } from './vec.ts'

/** What a point on the surface is drawn to, by what lies within `radiusMm`; `direction` (unit) is in the mesh frame. */
export type Snap =
  | { readonly kind: 'tip'; readonly radiusMm: number }
  | { readonly kind: 'groove' | 'extreme'; readonly radiusMm: number; readonly direction: Vec3 }

/**
 * The feature of a surface near a point on it (mesh frame, mm). `tip`: the highest place over the surroundings' mean
 * normal. `groove`: the bottom line of the valley the point lies in, as deep is seen against `direction` (out of the valley,
 * for instance towards the eye), straight across it. `extreme`: the place farthest along a direction, climbed to over at most three radii. Each is refined by a quadratic through the surface, so that it may lie
 * between vertices. Where there is no such feature: `fit/degenerate`, and why.
 */
export function snapOnSurface(tree: MeshTree, near: Vec3, snap: Snap): Result<Vec3> {
  if (tree.nodeCount === 0 || !(snap.radiusMm > 0)) return fail('fit/degenerate', 'There is no surface there.')
  if (snap.kind === 'groove') return bottomOf(tree, near, unit(snap.direction), snap.radiusMm)
  if (snap.kind === 'extreme') return climb(tree, near, unit(snap.direction), snap.radiusMm, 3 * snap.radiusMm)
  return tipNear(tree, near, snap.radiusMm)
}

/** The surroundings are those of the tip, not of the click: looked at again from where the last look led. */
function tipNear(tree: MeshTree, near: Vec3, radiusMm: number): Result<Vec3> {
  let at = near
  for (let look = 0; look < 6; look++) {
    const { normal } = patchUnder(tree, [{ centre: at, radiusMm: 2 * radiusMm }])
    const next = climb(tree, at, normal, radiusMm, 1.5 * radiusMm)
    if (!next.ok) return next
    const moved = distance(next.value, at)
    at = next.value
    if (moved < 0.01) break
  }
  return ok(at)
}

function climb(tree: MeshTree, near: Vec3, up: Vec3, radiusMm: number, farthestMm: number): Result<Vec3> {
  let top = near
  for (let step = 0; step < 40; step++) {
    const patch = patchUnder(tree, [{ centre: top, radiusMm }])
    const inside = patch.points.filter((p) => distance(p, near) <= farthestMm)
    const next = inside.reduce((best, p) => (dot(sub(p, best), up) > 1e-9 ? p : best), top)
    if (next === top) return ok(refined(tree, top, up, radiusMm / 2))
    if (distance(next, near) > 0.97 * farthestMm)
      return fail('fit/degenerate', 'The surface rises on and on there: no tip near enough.', {
        hint: 'Click nearer to it, or widen the radius.',
      })
    top = next
  }
  return ok(top)
}

/** The summit of the quadratic through the surface about a summit of vertices, when there is one close by. */
function refined(tree: MeshTree, top: Vec3, up: Vec3, radiusMm: number): Vec3 {
  const shape = quadratic(patchUnder(tree, [{ centre: top, radiusMm }]), top, up)
  if (shape === null || !(shape.bends[0].size < 0 && shape.bends[1].size < 0)) return top
  const at = shape.bends.reduce((p, bend) => addScaled(p, bend.along, -bend.rise / bend.size), top)
  if (distance(at, top) > radiusMm) return top
  return closestPoint(tree, addScaled(at, up, shape.heightAt(at)))?.point ?? top
}

/** A valley wider than this bend is none: radius 500 mm. */
const leastBendPerMm = 0.002

function bottomOf(tree: MeshTree, near: Vec3, up: Vec3, radiusMm: number): Result<Vec3> {
  let at = near
  for (let step = 0; step < 12; step++) {
    const shape = quadratic(patchUnder(tree, [{ centre: at, radiusMm }]), at, up)
    const across = shape?.bends[1]
    if (!shape || !across || !(across.size > leastBendPerMm))
      return fail('fit/degenerate', 'The surface has no groove there.', { hint: 'Click nearer to its bottom.' })
    const move = Math.max(-radiusMm, Math.min(radiusMm, -across.rise / across.size))
    const moved = addScaled(at, across.along, move)
    const next = closestPoint(tree, addScaled(moved, up, shape.heightAt(moved)))?.point ?? at
    if (distance(next, near) > 2 * radiusMm)
      return fail('fit/degenerate', 'The groove is too far away.', { hint: 'Click nearer to its bottom.' })
    if (distance(next, at) < 1e-3) return ok(next)
    at = next
  }
  return ok(at)
}

interface Bend {
  /** Unit, across `up`. */
  readonly along: Vec3
  /** Second derivative of the height along it, 1/mm, and the first at the origin. */
  readonly size: number
  readonly rise: number
}

interface Quadratic {
  /** By size, ascending: a summit has both below 0, a valley the last above. */
  readonly bends: readonly [Bend, Bend]
  readonly heightAt: (p: Vec3) => number
}

/** Least-squares quadratic height of a patch over the plane through `origin` across `up`; null where it is not settled. */
function quadratic({ points, weights }: SurfacePatch, origin: Vec3, up: Vec3): Quadratic | null {
  if (points.length < 6 || dot(up, up) === 0) return null
  const u = anyPerpendicular(up)
  const v = cross(up, u)
  const normal = new Float64Array(36)
  const right = new Float64Array(6)
  points.forEach((p, i) => {
    const d = sub(p, origin)
    const [x, y, z] = [dot(d, u), dot(d, v), dot(d, up)]
    const row = [1, x, y, x * x, x * y, y * y]
    for (let a = 0; a < 6; a++) {
      right[a]! += weights[i]! * row[a]! * z
      for (let b = 0; b < 6; b++) normal[6 * a + b]! += weights[i]! * row[a]! * row[b]!
    }
  })
  const k = solvePositive(normal, right, 6)
  if (k === null) return null
  // The third axis only fills the matrix: far below both bends, so that it comes first.
  const low = -1e6
  const { values, vectors } = eigenSymmetric3({ xx: 2 * k[3]!, xy: k[4]!, xz: 0, yy: 2 * k[5]!, yz: 0, zz: low })
  const bend = (i: 1 | 2): Bend => {
    const [x, y] = vectors[i]
    return { along: addScaled([x * u[0], x * u[1], x * u[2]], v, y), size: values[i], rise: x * k[1]! + y * k[2]! }
  }
  return {
    bends: [bend(1), bend(2)],
    heightAt: (p) => {
      const d = sub(p, origin)
      const [x, y] = [dot(d, u), dot(d, v)]
      return k[0]! + k[1]! * x + k[2]! * y + k[3]! * x * x + k[4]! * x * y + k[5]! * y * y
    },
  }
}
