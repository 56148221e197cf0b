import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { capFloor } from './cap.ts'
import { cutsOf, patchesOf } from './patches.ts'

/** What is looked at for a cap; coordinates of the mesh, mm. */
export interface CapView {
  /** Coordinate along which the cap stands out, and its sense. */
  readonly out: 0 | 2
  readonly sense: 1 | -1
  /** Heights (y) between which surface counts, and how much it counts there, 0…1. */
  readonly heights: readonly [number, number]
  readonly counts: (y: number) => number
  /** Depth of the cap. */
  readonly capMm: number
}

export interface StandingCap {
  /** Middle of the cap, as far out as its apex. */
  readonly point: Vec3
  /** Its size as seen from outside, mm². */
  readonly areaMm2: number
}

const pieceMm = 1
/** How much deeper than its depth the cap's floor may lie under the outermost piece, however far a spike stands out, mm. */
const spikeMm = 6

/**
 * The cap that stands out most along a coordinate: surface seen along it, each place weighing by its depth in the cap and by its
 * height, at the cap's own apex (`cap.ts`). On a flat dome or a long ridge the extreme vertex wanders with mesh and noise,
 * the cap does not. Null when nothing lies there.
 */
export function standingCap(part: Mesh, view: CapView): StandingCap | null {
  const { out, sense, heights, counts, capMm } = view
  const across = out === 0 ? 2 : 0
  const band = bandOf(part, heights)
  const p = band.positions
  const lookMm = capMm + spikeMm
  const from = reachedAtLeast(band, view) - lookMm
  const { count, centres, normals, areas } = patchesOf(band, pieceMm, (i) => sense * p[i + out]! >= from)
  const [bottom, top] = heights
  const depth = new Float64Array(count)
  const seen = new Float64Array(count)
  const weight = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const y = centres[3 * i + 1]!
    depth[i] = -sense * centres[3 * i + out]!
    seen[i] = y >= bottom && y <= top ? areas[i]! * Math.abs(normals[3 * i + out]!) : 0
    weight[i] = seen[i]! * counts(y)
  }
  const floor = capFloor(depth, weight, count, { capMm, lookMm, from: Number.NaN })
  let areaMm2 = 0
  let sum = 0
  let sideways = 0
  let y = 0
  for (let i = 0; i < count; i++) {
    const over = floor - depth[i]!
    if (over <= 0 || seen[i] === 0) continue
    const w = over * weight[i]!
    areaMm2 += seen[i]!
    sum += w
    sideways += w * centres[3 * i + across]!
    y += w * centres[3 * i + 1]!
  }
  if (!(sum > 0)) return null
  const point: [number, number, number] = [0, y / sum, 0]
  point[across] = sideways / sum
  point[out] = sense * (capMm - floor)
  return { point, areaMm2 }
}

/** The triangles that come between two heights, their corners as they were numbered. */
function bandOf({ positions: p, triangles }: Mesh, [bottom, top]: readonly [number, number]): Mesh {
  const kept = new Uint32Array(triangles.length)
  let count = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!
    const b = triangles[t + 1]!
    const c = triangles[t + 2]!
    const ya = p[3 * a + 1]!
    const yb = p[3 * b + 1]!
    const yc = p[3 * c + 1]!
    if ((ya < bottom && yb < bottom && yc < bottom) || (ya > top && yb > top && yc > top)) continue
    kept[count++] = a
    kept[count++] = b
    kept[count++] = c
  }
  return { positions: p, triangles: kept.slice(0, count) }
}

/** What some piece between the heights reaches at the least: the farthest middle of a triangle that lies between them wholly. */
function reachedAtLeast({ positions: p, triangles }: Mesh, { out, sense, heights }: CapView): number {
  let most = Number.NEGATIVE_INFINITY
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const reach = (sense * (p[a + out]! + p[b + out]! + p[c + out]!)) / 3
    if (reach <= most) continue
    const between = (v: number) => p[v + 1]! >= heights[0] && p[v + 1]! <= heights[1]
    if (between(a) && between(b) && between(c) && cutsOf(p, triangles, t, pieceMm) > 0) most = reach
  }
  return most
}
