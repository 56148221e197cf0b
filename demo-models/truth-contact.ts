import { type Frame, intoFrame, mapPoint, outOfFrame } from '../src/geometry/rigid.ts'
import { cross, midpoint, sub, unit, type Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'
import { castRay, inFrame } from './truth-search.ts'

/** Depth of the cap above the tangent, and how far it may reach along the condyle, mm. */
const capMm = 3
const reachMm = 25
const stepMm = 0.5

/**
 * Middles of the caps within 2 mm of the tangent that touches f (a right femur in its own frame) at the two contact points: rays
 * square to the tangent, each weighing by how near the tangent it meets the surface; as far out as the tangent. Medial, lateral.
 */
export function middlesOfContact(
  f: Sdf,
  contacts: readonly [Vec3, Vec3],
  towards: 'distal' | 'posterior',
): [Vec3, Vec3] {
  const line = sub(contacts[1], contacts[0])
  const z = unit(towards === 'distal' ? [0, line[1], line[2]] : [line[0], 0, line[2]])
  const origin = midpoint(contacts[0], contacts[1])
  // The ray runs along the turned frame's own y (from below) or x (from behind).
  const own: Frame =
    towards === 'distal'
      ? { origin, x: [1, 0, 0], y: cross(z, [1, 0, 0]), z }
      : { origin, x: cross([0, 1, 0], z), y: [0, 1, 0], z }
  const g = inFrame(f, own)
  const into = intoFrame(own)
  const out = outOfFrame(own)
  const middle = (contact: Vec3, sign: 1 | -1): Vec3 => {
    const at = mapPoint(into, contact)
    const [across, depth] = towards === 'distal' ? [at[0], at[1]] : [at[1], at[0]]
    let [weight, a, b] = [0, 0, 0]
    for (let u = across - reachMm; u <= across + reachMm; u += stepMm)
      for (let w = sign * stepMm; Math.abs(w) < 48; w += sign * stepMm) {
        const from: Vec3 = towards === 'distal' ? [u, depth - 1, w] : [depth - 1, u, w]
        const t = castRay(g, from, towards === 'distal' ? [0, 1, 0] : [1, 0, 0], capMm + 1)
        if (t === null || t - 1 >= capMm) continue
        weight += capMm - (t - 1)
        a += (capMm - (t - 1)) * u
        b += (capMm - (t - 1)) * w
      }
    return mapPoint(out, towards === 'distal' ? [a / weight, depth, b / weight] : [depth, a / weight, b / weight])
  }
  return [middle(contacts[0], -1), middle(contacts[1], 1)]
}
