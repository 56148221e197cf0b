import type { Mesh } from '../geometry/mesh.ts'
import type { Frame } from '../geometry/rigid.ts'
import { add, addScaled, cross, dot, lerp, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { type Side, sideFactor } from './terms.ts'

/**
 * A bone's directions without handedness: unit, mutually perpendicular, in the patient frame. Its coordinates
 * (x anterior, y proximal, z lateral) are the same numbers for a bone and for its mirror image, so the finders work in
 * them and side appears only as the handedness of the three directions.
 */
export interface LimbFrame {
  readonly origin: Vec3
  readonly anterior: Vec3
  readonly proximal: Vec3
  readonly lateral: Vec3
}

/** The side whose lateral, with anterior and proximal, makes these directions: right-handed is a right bone. */
export const sideOfLimb = (f: LimbFrame): Side => (dot(cross(f.anterior, f.proximal), f.lateral) > 0 ? 'right' : 'left')

/** The bone frame of the conventions: Z to the subject's right. */
export const frameOfLimb = (f: LimbFrame): Frame => ({
  origin: f.origin,
  x: f.anterior,
  y: f.proximal,
  z: scale(f.lateral, sideFactor(sideOfLimb(f))),
})

/** The limb directions of a bone frame of this side. */
export const limbOfFrame = (f: Frame, side: Side): LimbFrame => ({
  origin: f.origin,
  anterior: f.x,
  proximal: f.y,
  lateral: scale(f.z, sideFactor(side)),
})

/** Proximal exactly along `long`, lateral as near `lateral` as that allows, anterior on the side of `towardsFront`. */
export function limbFromLateral(origin: Vec3, long: Vec3, lateral: Vec3, towardsFront: Vec3): LimbFrame {
  const proximal = unit(long)
  const across = unit(reject(lateral, proximal))
  const front = cross(proximal, across)
  return {
    origin,
    proximal,
    lateral: across,
    anterior: dot(front, towardsFront) >= 0 ? front : scale(front, -1),
  }
}

/** Proximal exactly along `long`, anterior as near `anterior` as that allows, lateral on the side of `towardsOutside`. */
export function limbFromAnterior(origin: Vec3, long: Vec3, anterior: Vec3, towardsOutside: Vec3): LimbFrame {
  const proximal = unit(long)
  const front = unit(reject(anterior, proximal))
  const across = cross(front, proximal)
  return {
    origin,
    proximal,
    anterior: front,
    lateral: dot(across, towardsOutside) >= 0 ? across : scale(across, -1),
  }
}

/** The frame a share of the way from one to another, by its lateral direction; more than 1 lies beyond it. */
export function limbTowards(a: LimbFrame, b: LimbFrame, share: number): LimbFrame {
  if (share === 1) return b
  return limbFromLateral(
    lerp(a.origin, b.origin, share),
    lerp(a.proximal, b.proximal, share),
    lerp(a.lateral, b.lateral, share),
    lerp(a.anterior, b.anterior, share),
  )
}

/** Patient point → limb coordinates (x anterior, y proximal, z lateral), mm. */
export function intoLimb(f: LimbFrame, p: Vec3): Vec3 {
  const d = sub(p, f.origin)
  return [dot(d, f.anterior), dot(d, f.proximal), dot(d, f.lateral)]
}

/** Limb coordinates → patient point, mm. */
export const outOfLimb = (f: LimbFrame, q: Vec3): Vec3 => add(f.origin, directionOutOfLimb(f, q))

/** Direction in limb coordinates → direction in the patient frame. */
export const directionOutOfLimb = (f: LimbFrame, q: Vec3): Vec3 =>
  addScaled(addScaled(scale(f.anterior, q[0]), f.proximal, q[1]), f.lateral, q[2])

/** Direction in the patient frame → direction in limb coordinates. */
export const directionIntoLimb = (f: LimbFrame, v: Vec3): Vec3 => [
  dot(v, f.anterior),
  dot(v, f.proximal),
  dot(v, f.lateral),
]

/** The mesh's vertices in limb coordinates; triangles are shared. The winding of a left bone turns inward. */
export function meshIntoLimb(mesh: Mesh, f: LimbFrame): Mesh {
  const p = mesh.positions
  const out = new Float64Array(p.length)
  const [ox, oy, oz] = f.origin
  const { anterior: a, proximal: u, lateral: l } = f
  for (let i = 0; i < p.length; i += 3) {
    const x = p[i]! - ox
    const y = p[i + 1]! - oy
    const z = p[i + 2]! - oz
    out[i] = x * a[0] + y * a[1] + z * a[2]
    out[i + 1] = x * u[0] + y * u[1] + z * u[2]
    out[i + 2] = x * l[0] + y * l[1] + z * l[2]
  }
  return { positions: out, triangles: mesh.triangles }
}

/** The triangles with a corner where `low` ≤ (p − point)·direction ≤ `high`, as a mesh of their own (patient frame). */
export function slab(mesh: Mesh, point: Vec3, direction: Vec3, low: number, high: number): Mesh {
  const { positions: p, triangles } = mesh
  const n = p.length / 3
  const inside = new Uint8Array(n)
  const shift = dot(point, direction)
  for (let i = 0; i < n; i++) {
    const t = p[3 * i]! * direction[0] + p[3 * i + 1]! * direction[1] + p[3 * i + 2]! * direction[2] - shift
    inside[i] = t >= low && t <= high ? 1 : 0
  }
  return partOf(mesh, (t) => inside[triangles[t]!]! + inside[triangles[t + 1]!]! + inside[triangles[t + 2]!]! > 0)
}

/** The triangles for which `keep` (given the index of the first corner, 3t) holds, as a mesh of their own. */
export function partOf(mesh: Mesh, keep: (first: number) => boolean): Mesh {
  const { positions: p, triangles } = mesh
  const kept = new Uint32Array(triangles.length)
  let count = 0
  for (let t = 0; t < triangles.length; t += 3) if (keep(t)) kept[count++] = t
  const renamed = new Int32Array(p.length / 3).fill(-1)
  const corners = new Uint32Array(3 * count)
  const used = new Uint32Array(Math.min(3 * count, p.length / 3))
  let vertices = 0
  for (let k = 0; k < count; k++)
    for (let c = 0; c < 3; c++) {
      const v = triangles[kept[k]! + c]!
      if (renamed[v]! < 0) {
        renamed[v] = vertices
        used[vertices++] = v
      }
      corners[3 * k + c] = renamed[v]!
    }
  const positions = new Float64Array(3 * vertices)
  for (let i = 0; i < vertices; i++) {
    const v = 3 * used[i]!
    positions[3 * i] = p[v]!
    positions[3 * i + 1] = p[v + 1]!
    positions[3 * i + 2] = p[v + 2]!
  }
  return { positions, triangles: corners }
}
