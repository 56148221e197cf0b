import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { cutsOf, patchesOf } from './patches.ts'

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

/** Surface this near the greatest extent makes the cap, mm. */
const capMm = 2
const pieceMm = 1
/** Below this curvature a millimetre of height is spread over more than a thumb's breadth, 1/mm (common practice, no source). */
export const flatDomePerMm = 1 / 50
/** The joint's margin reaches up to this share of the stretch looked at. */
const marginShare = 0.22
/** A dome above the margin has its middle this far from it, mm. */
const clearMm = 4

/**
 * The epicondyles of a distal femur between two heights (limb coordinates, mm): the middle of the cap within 2 mm of the
 * greatest extent along Z, the surface seen along Z weighing by how far it stands out, at the height of the extreme itself (a third of
 * the cap above its mean, as on a paraboloid). On a flat dome the extreme vertex wanders with mesh and noise, the cap does
 * not. Where the cap lies at the joint's margin, the dome above it is taken if there is one. Null when nothing lies there.
 */
export function findEpicondyles(part: Mesh, bottomMm: number, topMm: number): Epicondyles | null {
  const medial = epicondyle(part, -1, bottomMm, topMm)
  const lateral = epicondyle(part, 1, bottomMm, topMm)
  return medial && lateral && { medial, lateral }
}

function epicondyle(part: Mesh, side: 1 | -1, bottomMm: number, topMm: number): Epicondyle | null {
  const margin = bottomMm + marginShare * (topMm - bottomMm)
  const first = capOf(part, side, bottomMm, topMm)
  if (first === null || first.point[1] > margin) return first && { ...first, atMargin: false }
  const above = capOf(part, side, margin, topMm)
  return above !== null && above.point[1] > margin + clearMm
    ? { ...above, atMargin: false }
    : { ...first, atMargin: true }
}

function capOf(part: Mesh, side: 1 | -1, bottomMm: number, topMm: number) {
  const { positions: p, triangles } = part
  const from = reachedAtLeast(part, side, bottomMm, topMm) - capMm
  const { count, centres, normals, areas } = patchesOf(
    part,
    pieceMm,
    (t) =>
      side * p[3 * triangles[t]! + 2]! >= from ||
      side * p[3 * triangles[t + 1]! + 2]! >= from ||
      side * p[3 * triangles[t + 2]! + 2]! >= from,
  )
  const lies = (i: number) => centres[3 * i + 1]! >= bottomMm && centres[3 * i + 1]! <= topMm
  let most = Number.NEGATIVE_INFINITY
  for (let i = 0; i < count; i++) if (lies(i)) most = Math.max(most, side * centres[3 * i + 2]!)
  let area = 0
  let weight = 0
  let x = 0
  let y = 0
  let out = 0
  for (let i = 0; i < count; i++) {
    const over = side * centres[3 * i + 2]! - most + capMm
    if (over <= 0 || !lies(i)) continue
    const seen = areas[i]! * Math.abs(normals[3 * i + 2]!)
    const w = over * seen
    area += seen
    weight += w
    x += w * centres[3 * i]!
    y += w * centres[3 * i + 1]!
    out += w * side * centres[3 * i + 2]!
  }
  if (!(weight > 0)) return null
  const point: Vec3 = [x / weight, y / weight, side * (out / weight + capMm / 3)]
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
