import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { capTangent } from './cap-tangent.ts'

/** Contact points of the line that bridges the two condyles from outside, limb coordinates, mm. */
export interface Bridge {
  readonly medial: Vec3
  readonly lateral: Vec3
}

/**
 * The common tangent of the two condyles in a projection of the part below `topMm`: seen along Y the posterior one
 * (`towards` posterior), seen along X the distal one. It is the edge of the convex hull that crosses z = `split`; found
 * by turning the support direction until the pair of vertices stays, then by the condyles' caps. Null when one side of the
 * split is empty.
 */
export function bridgeCondyles(
  part: Mesh,
  towards: 'posterior' | 'distal',
  topMm: number,
  split: number,
): Bridge | null {
  const pair = bridgeVertices(part, towards, topMm, split)
  return pair && capTangent(part, pair, towards === 'posterior' ? 0 : 1)
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
