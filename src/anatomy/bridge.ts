import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { capTangent } from './cap-tangent.ts'
import { partOf } from './limb.ts'

/** Contact points of the line that bridges the two condyles from outside, limb coordinates, mm. */
export interface Bridge {
  readonly medial: Vec3
  readonly lateral: Vec3
  /** Places of pieces too narrow for a condyle that stood out further and were left out. */
  readonly leftOut?: readonly Vec3[]
}

/** So many narrow pieces are left out before what stands out is taken as it is. */
const mostLeftOut = 4

/**
 * The common tangent of the two condyles in a projection of the part below `topMm`: seen along Y the posterior one
 * (`towards` posterior), seen along X the distal one. It is the edge of the convex hull that crosses z = `split`; found
 * by turning the support direction until the pair of vertices stays, then by the condyles' caps. Pieces too narrow for a condyle
 * are left out. Null when one side of the split is empty.
 */
export function bridgeCondyles(
  part: Mesh,
  towards: 'posterior' | 'distal',
  topMm: number,
  split: number,
): Bridge | null {
  const out = towards === 'posterior' ? 0 : 1
  const leftOut: Vec3[] = []
  let first: Bridge | null = null
  for (let kept = part; ; ) {
    const pair = bridgeVertices(kept, towards, topMm, split)
    if (pair === null) return first
    const { narrow, ...bridge } = capTangent(kept, pair, out)
    if (narrow.length === 0) return leftOut.length > 0 ? { ...bridge, leftOut } : bridge
    first ??= bridge
    leftOut.push(...narrow.map(({ at }) => at))
    if (leftOut.length > mostLeftOut) return first
    kept = partOf(kept, (t) => !narrow.some(({ at, radiusMm }) => within(kept, t, at, radiusMm)))
  }
}

/** Whether a triangle (3t its first corner) has a corner within a distance of a place. */
function within({ positions: p, triangles }: Mesh, first: number, at: Vec3, radiusMm: number): boolean {
  for (let k = first; k < first + 3; k++) {
    const i = 3 * triangles[k]!
    if (Math.hypot(p[i]! - at[0], p[i + 1]! - at[1], p[i + 2]! - at[2]) < radiusMm) return true
  }
  return false
}

/** The same between vertices: the hull edge itself. */
export function bridgeVertices(
  part: Mesh,
  towards: 'posterior' | 'distal',
  topMm: number,
  split: number,
): Bridge | null {
  const out = towards === 'posterior' ? 0 : 1
  let pair = supportPair(part, out, topMm, split, 0)
  for (let turn = 0; turn < 40 && pair !== null; turn++) {
    // The outward coordinate is −x or −y; the pair's rise over z is the direction's tilt.
    const tilt = (pair.lateral[out] - pair.medial[out]) / (pair.lateral[2] - pair.medial[2])
    const next = supportPair(part, out, topMm, split, tilt)
    if (next === null) return null
    const still =
      next.medial.every((v, k) => v === pair?.medial[k]) && next.lateral.every((v, k) => v === pair?.lateral[k])
    pair = next
    if (still) break
  }
  return pair
}

/** Lowest points of −out·… : on each side of the split, the vertex with the least (coordinate − tilt·z). */
function supportPair(part: Mesh, out: 0 | 1, topMm: number, split: number, tilt: number): Bridge | null {
  const p = part.positions
  let medial = -1
  let lateral = -1
  let medialLeast = Number.POSITIVE_INFINITY
  let lateralLeast = Number.POSITIVE_INFINITY
  for (let i = 0; i < p.length; i += 3) {
    if (p[i + 1]! > topMm) continue
    const z = p[i + 2]!
    const value = p[i + out]! - tilt * (z - split)
    if (z < split) {
      if (value < medialLeast) {
        medialLeast = value
        medial = i
      }
    } else if (value < lateralLeast) {
      lateralLeast = value
      lateral = i
    }
  }
  if (medial < 0 || lateral < 0) return null
  return { medial: pointAt(p, medial), lateral: pointAt(p, lateral) }
}

const pointAt = (p: Float64Array, i: number): Vec3 => [p[i]!, p[i + 1]!, p[i + 2]!]
