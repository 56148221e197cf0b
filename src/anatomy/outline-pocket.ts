import type { BoneMesh } from '../geometry/bone.ts'
import { section } from '../geometry/section.ts'
import { addScaled, cross, dot, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { convexHull, type Flat } from './tibial-contours.ts'

/** A fifth of the width in from the joint, the outline of a femur is hollowed by the notch to more than this share of the width. */
export const notchedShare = 0.14
/** That far in from the joint, in widths. */
export const notchLevelShare = 0.2

/** The outlines of a bone in a plane, in that plane. */
export interface Outline {
  readonly points: readonly (readonly Flat[])[]
  readonly out: (direction: Flat) => Vec3
}

/** Outlines across the unit `normal` through a point (patient frame, mm); null where there are none. */
export function outlineAcross(bone: BoneMesh, point: Vec3, normal: Vec3): Outline | null {
  const { loops } = section(bone.tree, { point, normal })
  if (loops.length === 0) return null
  const u = unit(reject(Math.abs(normal[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0], normal))
  const w = cross(normal, u)
  return {
    points: loops.map((loop) => loop.map((p): Flat => [dot(sub(p, point), u), dot(sub(p, point), w)])),
    out: ([a, b]) => addScaled(scale(u, a), w, b),
  }
}

/**
 * The deepest place of an outline inside its convex hull: how deep, and the outward direction of its mouth; of those that
 * open within 45° of `towards` when that is given.
 */
export function deepestPocket(
  loops: readonly (readonly Flat[])[],
  towards: Flat | null,
): { readonly depth: number; readonly direction: Flat } | null {
  const all = loops.flatMap(everyMillimetre)
  const hull = convexHull(all)
  let best: { depth: number; direction: Flat } | null = null
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!
    const b = hull[(i + 1) % hull.length]!
    const width = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (width < 8) continue
    const along: Flat = [(b[0] - a[0]) / width, (b[1] - a[1]) / width]
    const out: Flat = [along[1], -along[0]]
    if (towards !== null && out[0] * towards[0] + out[1] * towards[1] < 0.7) continue
    // The nearest contour point behind each part of the edge; the deepest of these is the pocket's floor.
    const floor = new Float64Array(Math.floor(width / 2.5)).fill(Number.POSITIVE_INFINITY)
    for (const p of all) {
      const t = ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / width
      if (t < 0 || t >= 1) continue
      const bin = Math.floor(t * floor.length)
      floor[bin] = Math.min(floor[bin]!, -((p[0] - a[0]) * out[0] + (p[1] - a[1]) * out[1]))
    }
    const depth = Math.max(...floor.filter((d) => Number.isFinite(d)), 0)
    if (best === null || depth > best.depth) best = { depth, direction: out }
  }
  return best
}

function everyMillimetre(loop: readonly Flat[]): Flat[] {
  return loop.flatMap((p, i) => {
    const q = loop[(i + 1) % loop.length]!
    const pieces = Math.max(1, Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1])))
    return Array.from(
      { length: pieces },
      (_, k): Flat => [p[0] + (k / pieces) * (q[0] - p[0]), p[1] + (k / pieces) * (q[1] - p[1])],
    )
  })
}
