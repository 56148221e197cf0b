import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { capFloor } from './cap.ts'
import { cutsOf, patchesOf } from './patches.ts'
import { ramp } from './ramp.ts'

/** One epicondyle as its cap shows it, limb coordinates, mm. */
export interface Epicondyle {
  readonly point: Vec3
  /** Curvature of the dome by the size of its cap, 1/mm. */
  readonly sharpnessPerMm: number
  /** It lies where the joint's margin runs: an osteophyte may stand out further than the epicondyle. */
  readonly atMargin: boolean
}

export interface Epicondyles {
  readonly medial: Epicondyle
  readonly lateral: Epicondyle
}

/** Depth of the cap, mm. */
const capMm = 3
const pieceMm = 1
/** Below this curvature a millimetre of height is spread over more than a thumb's breadth, 1/mm (common practice, no source). */
export const flatDomePerMm = 1 / 50
/** The cap's floor lies no deeper than this under the outermost piece, however far a spike stands out, mm. */
const lookMm = capMm + 6
/** The joint's margin, in L above the notch: below the first nothing counts, from the second on everything. */
const marginShares = [0.03, 0.06] as const
/** A cap whose middle lies below this share of L is one of the margin. */
const marginShare = 0.04

/**
 * The epicondyles of a distal femur from the height of the notch up to `topMm` (limb coordinates, mm): the middle of the cap of 3 mm that
 * stands out most along Z, the surface seen along Z weighing by how far it stands out, at the height of the cap's own apex
 * (`cap.ts`). On a flat dome the extreme vertex wanders with mesh and noise, the cap does not. Towards the joint's margin, where the side
 * of the condyle runs on and osteophytes grow, places count less (`lengthMm` is L). Null when nothing lies there.
 */
export function findEpicondyles(part: Mesh, notchMm: number, topMm: number, lengthMm: number): Epicondyles | null {
  const medial = epicondyle(part, -1, notchMm, topMm, lengthMm)
  const lateral = epicondyle(part, 1, notchMm, topMm, lengthMm)
  return medial && lateral && { medial, lateral }
}

function epicondyle(part: Mesh, side: 1 | -1, notchMm: number, topMm: number, lengthMm: number): Epicondyle | null {
  const [from, whole] = marginShares.map((share) => notchMm + share * lengthMm) as [number, number]
  const cap = capOf(part, side, from, topMm, (y) => ramp(y, from, whole))
  return cap && { ...cap, atMargin: cap.point[1] < notchMm + marginShare * lengthMm }
}

function capOf(part: Mesh, side: 1 | -1, bottomMm: number, topMm: number, counts: (y: number) => number) {
  const { positions: p, triangles } = part
  const from = reachedAtLeast(part, side, bottomMm, topMm) - lookMm
  const { count, centres, normals, areas } = patchesOf(
    part,
    pieceMm,
    (t) =>
      side * p[3 * triangles[t]! + 2]! >= from ||
      side * p[3 * triangles[t + 1]! + 2]! >= from ||
      side * p[3 * triangles[t + 2]! + 2]! >= from,
  )
  const depth = new Float64Array(count)
  const seen = new Float64Array(count)
  const weight = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const y = centres[3 * i + 1]!
    depth[i] = -side * centres[3 * i + 2]!
    seen[i] = y >= bottomMm && y <= topMm ? areas[i]! * Math.abs(normals[3 * i + 2]!) : 0
    weight[i] = seen[i]! * counts(y)
  }
  const floor = capFloor(depth, weight, count, { capMm, lookMm, from: Number.NaN })
  let area = 0
  let sum = 0
  let x = 0
  let y = 0
  for (let i = 0; i < count; i++) {
    const over = floor - depth[i]!
    if (over <= 0 || seen[i] === 0) continue
    const w = over * weight[i]!
    area += seen[i]!
    sum += w
    x += w * centres[3 * i]!
    y += w * centres[3 * i + 1]!
  }
  if (!(sum > 0)) return null
  const point: Vec3 = [x / sum, y / sum, side * (capMm - floor)]
  // A paraboloid of this curvature has a cap of this area.
  return { point, sharpnessPerMm: (2 * Math.PI * capMm) / area }
}

/** What some piece between the heights reaches at the least: the farthest middle of a triangle that lies between them wholly. */
function reachedAtLeast({ positions: p, triangles }: Mesh, side: 1 | -1, bottomMm: number, topMm: number): number {
  let most = Number.NEGATIVE_INFINITY
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const reach = (side * (p[a + 2]! + p[b + 2]! + p[c + 2]!)) / 3
    if (reach <= most) continue
    const between = (v: number) => p[v + 1]! >= bottomMm && p[v + 1]! <= topMm
    if (between(a) && between(b) && between(c) && cutsOf(p, triangles, t, pieceMm) > 0) most = reach
  }
  return most
}
