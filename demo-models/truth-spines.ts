import type { Frame } from '../src/geometry/rigid.ts'
import { dot, sub, type Vec3 } from '../src/geometry/vec.ts'
import type { SurfaceGrid } from './truth-patch.ts'

/** Millimetres of height that a millimetre in front of or behind the highest tip costs the other one. */
const lowerPerMm = 0.15

/**
 * The tips of the eminence to the nearest ray: among the local maxima of height in the middle third of the width the
 * highest, and the next highest beside it. Medial first. Throws when there is only one.
 */
export function spines(top: SurfaceGrid, frame: Frame): [Vec3, Vec3] {
  const { nx, cells } = top
  const heights = cells.map((c) => (c ? dot(sub(c.point, frame.origin), frame.y) : Number.NEGATIVE_INFINITY))
  const across = cells.flatMap((c) => (c ? [dot(sub(c.point, frame.origin), frame.z)] : []))
  const low = across.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const high = across.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  // Two cells around: closer, a ridge oblique to the grid looks like a row of tips.
  const isTip = (n: number): boolean => {
    for (let dj = -2; dj <= 2; dj++)
      for (let di = -2; di <= 2; di++)
        if ((di !== 0 || dj !== 0) && (heights[n + dj * nx + di] ?? Number.NEGATIVE_INFINITY) >= heights[n]!)
          return false
    return true
  }
  const tips: { point: Vec3; x: number; height: number }[] = []
  cells.forEach((c, n) => {
    if (!c) return
    const z = dot(sub(c.point, frame.origin), frame.z)
    if (z < low + (high - low) / 3 || z > high - (high - low) / 3 || !isTip(n)) return
    tips.push({ point: c.point, x: dot(sub(c.point, frame.origin), frame.x), height: heights[n]! })
  })
  tips.sort((a, b) => b.height - a.height)
  const [first, ...others] = tips
  const counted = (t: (typeof tips)[number]) => t.height - lowerPerMm * Math.abs(t.x - first!.x)
  const second = others.sort((a, b) => counted(b) - counted(a))[0]
  if (!first || !second) throw new Error('the eminence has only one tip')
  const lateral = (p: Vec3) => dot(p, frame.z)
  return lateral(first.point) < lateral(second.point) ? [first.point, second.point] : [second.point, first.point]
}
