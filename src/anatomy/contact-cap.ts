import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Bridge } from './bridge.ts'
import { patchesOf } from './patches.ts'

/** Surface this near the tangent makes the cap, mm. */
const capMm = 2
/** A cap reaches no farther than this from the contact along the condyle, mm. */
const reachMm = 20
const pieceMm = 1

/**
 * Where the common tangent of both condyles touches each of them, told by the middle of the cap within 2 mm of the tangent (the
 * nearer the more, by area seen across it): where a condyle is flat along its length the point that touches wanders with
 * mesh and noise, the middle of the cap does not. The tangent stays where it is. `bridge`: its contact points, `out`
 * the coordinate it lies lowest in, limb coordinates, mm; whichever way the surface is wound. A condyle without surface there keeps
 * its contact point.
 */
export function middlesOfContact(part: Mesh, bridge: Bridge, out: 0 | 1): Bridge {
  const tilt = (bridge.lateral[out] - bridge.medial[out]) / (bridge.lateral[2] - bridge.medial[2])
  const split = (bridge.medial[2] + bridge.lateral[2]) / 2
  return {
    medial: middle(part, bridge.medial, out, tilt, (z) => z < split),
    lateral: middle(part, bridge.lateral, out, tilt, (z) => z > split),
  }
}

function middle(part: Mesh, contact: Vec3, out: 0 | 1, tilt: number, own: (z: number) => boolean): Vec3 {
  const { positions: p, triangles } = part
  const along = out === 0 ? 1 : 0
  const over = (at: ArrayLike<number>, i: number): number =>
    at[i + out]! - contact[out] - tilt * (at[i + 2]! - contact[2])
  const near = (i: number): boolean => over(p, i) < capMm && Math.abs(p[i + along]! - contact[along]) < reachMm + 5
  const { count, centres, normals, areas } = patchesOf(
    part,
    pieceMm,
    (t) => near(3 * triangles[t]!) || near(3 * triangles[t + 1]!) || near(3 * triangles[t + 2]!),
  )
  let weight = 0
  let a = 0
  let z = 0
  const steep = Math.sqrt(1 + tilt * tilt)
  for (let i = 0; i < 3 * count; i += 3) {
    const depth = capMm - over(centres, i) / steep
    if (depth <= 0 || !own(centres[i + 2]!) || Math.abs(centres[i + along]! - contact[along]) > reachMm) continue
    // Limb coordinates turn the winding of a left bone inward.
    const seen = Math.abs(normals[i + out]! - tilt * normals[i + 2]!) / steep
    const w = depth * seen * areas[i / 3]!
    weight += w
    a += w * centres[i + along]!
    z += w * centres[i + 2]!
  }
  if (!(weight > 0)) return contact
  const at: [number, number, number] = [0, 0, z / weight]
  at[along] = a / weight
  at[out] = contact[out] + tilt * (at[2] - contact[2])
  return at
}
