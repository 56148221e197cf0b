import { BLOCK_HEAD, firstCoordinate } from './flux-tree.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { reachOfMesh, reachOfTree, snapDistance } from './snap.ts'
import { type MeshTree, roundingSlack } from './tree.ts'
import { dot } from './vec.ts'

export interface HalfSpace {
  /** Volume on the removed (negative) side of the plane, mm³. */
  readonly volumeMm3: number
  /** Area of the section, mm²; where a face lies in the plane, its value just on the positive side. */
  readonly areaMm2: number
}

/** What a query touched, for tests of its growth with the size of the mesh. */
export interface Effort {
  visitedNodes: number
  crossedTriangles: number
}

/**
 * Volume removed by a plane and area of its section, without a cap: the flux of F(x) = ((x − p)·n) n through the
 * removed surface is the removed volume, because div F = 1 and F vanishes on the plane; the section's area is −n·Σa
 * of that surface (divergence theorem). Whole nodes are one small product each, only crossed triangles are clipped.
 * The plane is in the mesh's frame with a unit normal into the kept side. A plane that misses gives 0 or the whole;
 * an empty tree gives 0. Only for closed meshes: a hole on the removed side spoils the number (see
 * `open-volume.ts`).
 * @param effort when given, its counters are raised
 */
export function halfSpace(tree: MeshTree, plane: Plane, effort?: Effort): HalfSpace {
  const { boxes, links, moments, nodeCount, blocks, corners: p } = tree.flux
  const [nx, ny, nz] = plane.normal
  const offset = dot(plane.normal, plane.point)
  const snap = snapDistance(reachOfTree(tree), plane)
  const slack = roundingSlack(tree) + 2 * snap
  const ux = Math.abs(nx)
  const uy = Math.abs(ny)
  const uz = Math.abs(nz)
  let flux = 0
  let facing = 0
  let visited = 0
  let crossed = 0
  for (let node = 0; node < nodeCount; ) {
    visited++
    const b = 8 * node
    const centre = nx * boxes[b]! + ny * boxes[b + 1]! + nz * boxes[b + 2]! - offset
    const reach = ux * boxes[b + 3]! + uy * boxes[b + 4]! + uz * boxes[b + 5]! + slack
    const after = links[b + 6]!
    if (centre > reach) {
      node = after
      continue
    }
    let whole = centre < -reach
    if (!whole) {
      if (after !== node + 1) {
        node++
        continue
      }
      // The smaller side of a leaf is reckoned triangle by triangle: the removed one, or the kept one to be taken off
      // the whole leaf again.
      whole = centre < 0
      const block = links[b + 7]!
      const triangles = blocks[8 * block]!
      const base = firstCoordinate(block, triangles)
      const first = 8 * block + BLOCK_HEAD
      const last = first + 3 * triangles
      const crossedBefore = crossed
      let left = triangles
      let thirds = 0
      let twice = 0
      for (let k = first; k < last; k += 3) {
        const i = base + 3 * blocks[k]!
        const j = base + 3 * blocks[k + 1]!
        const l = base + 3 * blocks[k + 2]!
        const x = p[i]!
        const y = p[i + 1]!
        const z = p[i + 2]!
        const ax = p[j]! - x
        const ay = p[j + 1]! - y
        const az = p[j + 2]! - z
        const bx = p[l]! - x
        const by = p[l + 1]! - y
        const bz = p[l + 2]! - z
        let s = nx * x + ny * y + nz * z - offset
        let t = s + (nx * ax + ny * ay + nz * az)
        let u = s + (nx * bx + ny * by + nz * bz)
        const out0 = s > snap
        const out1 = t > snap
        const out2 = u > snap
        if (out0 === out1 && out1 === out2) {
          if (out0 !== whole) continue
          left--
          const w = nx * (ay * bz - az * by) + ny * (az * bx - ax * bz) + nz * (ax * by - ay * bx)
          thirds += w * (s + t + u)
          twice += w
          continue
        }
        left--
        const w = nx * (ay * bz - az * by) + ny * (az * bx - ax * bz) + nz * (ax * by - ay * bx)
        crossed++
        let alone = out0
        if (out1 !== out2) {
          const s0 = s
          if (out0 === out2) {
            s = t
            t = u
            u = s0
            alone = out1
          } else {
            s = u
            u = t
            t = s0
            alone = out2
          }
        }
        if (s <= snap && s >= -snap) s = 0
        if (t <= snap && t >= -snap) t = 0
        if (u <= snap && u >= -snap) u = 0
        // The corner that stands alone on its side cuts off s²/((s − t)(s − u)) of the area, at a third of its
        // distance.
        const share = (s * s) / ((s - t) * (s - u))
        if (alone === whole) {
          thirds += w * share * s
          twice += w * share
        } else {
          thirds += w * (s + t + u - share * s)
          twice += w * (1 - share)
        }
      }
      // Where all turns out to lie on the kept side, the difference of two equal sums would be rounding, not nothing.
      if (whole && left === 0 && crossed === crossedBefore) whole = false
      else if (whole) {
        flux -= thirds / 6
        facing -= twice / 2
      } else {
        flux += thirds / 6
        facing += twice / 2
      }
    }
    if (whole) {
      const m = 12 * node
      const w = nx * moments[m]! + ny * moments[m + 1]! + nz * moments[m + 2]!
      flux +=
        centre * w +
        nx * (nx * moments[m + 3]! + ny * moments[m + 4]! + nz * moments[m + 5]!) +
        ny * (nx * moments[m + 6]! + ny * moments[m + 7]! + nz * moments[m + 8]!) +
        nz * (nx * moments[m + 9]! + ny * moments[m + 10]! + nz * moments[m + 11]!)
      facing += w
    }
    node = after
  }
  if (effort) {
    effort.visitedNodes += visited
    effort.crossedTriangles += crossed
  }
  return { volumeMm3: flux, areaMm2: facing === 0 ? 0 : -facing }
}

/** The same numbers by one plain pass over every triangle: the slow reference of `halfSpace`. */
export function halfSpaceByFullPass(mesh: Mesh, plane: Plane): HalfSpace {
  const { positions: p, triangles } = mesh
  const [nx, ny, nz] = plane.normal
  const offset = dot(plane.normal, plane.point)
  const snap = snapDistance(reachOfMesh(mesh), plane)
  let flux = 0
  let facing = 0
  for (let k = 0; k < triangles.length; k += 3) {
    const i = 3 * triangles[k]!
    const j = 3 * triangles[k + 1]!
    const l = 3 * triangles[k + 2]!
    const s0 = snapped(nx * p[i]! + ny * p[i + 1]! + nz * p[i + 2]! - offset, snap)
    const s1 = snapped(nx * p[j]! + ny * p[j + 1]! + nz * p[j + 2]! - offset, snap)
    const s2 = snapped(nx * p[l]! + ny * p[l + 1]! + nz * p[l + 2]! - offset, snap)
    if (s0 > 0 && s1 > 0 && s2 > 0) continue
    const ax = p[j]! - p[i]!
    const ay = p[j + 1]! - p[i + 1]!
    const az = p[j + 2]! - p[i + 2]!
    const bx = p[l]! - p[i]!
    const by = p[l + 1]! - p[i + 1]!
    const bz = p[l + 2]! - p[i + 2]!
    const w = (nx * (ay * bz - az * by) + ny * (az * bx - ax * bz) + nz * (ax * by - ay * bx)) / 2
    const allRemoved = s0 <= 0 && s1 <= 0 && s2 <= 0
    const share = allRemoved ? 1 : lonePart(s0, s1, s2)
    const lone = allRemoved ? s0 + s1 + s2 : loneDistance(s0, s1, s2)
    if (allRemoved || lone <= 0) {
      flux += (w * share * lone) / 3
      facing += w * share
    } else {
      flux += (w * (s0 + s1 + s2 - share * lone)) / 3
      facing += w * (1 - share)
    }
  }
  return { volumeMm3: flux, areaMm2: facing === 0 ? 0 : -facing }
}

const snapped = (s: number, snap: number): number => (s <= snap && s >= -snap ? 0 : s)

/** Distance of the corner that stands alone on its side (≤ 0 is the removed side). */
function loneDistance(s0: number, s1: number, s2: number): number {
  const in0 = s0 <= 0
  const in1 = s1 <= 0
  const in2 = s2 <= 0
  return in1 === in2 ? s0 : in0 === in2 ? s1 : s2
}

/** The lone corner's share of the triangle's area: s0² / ((s0 − s1)(s0 − s2)). */
function lonePart(s0: number, s1: number, s2: number): number {
  const in0 = s0 <= 0
  const in1 = s1 <= 0
  const in2 = s2 <= 0
  if (in1 === in2) return (s0 / (s0 - s1)) * (s0 / (s0 - s2))
  if (in0 === in2) return (s1 / (s1 - s0)) * (s1 / (s1 - s2))
  return (s2 / (s2 - s0)) * (s2 / (s2 - s1))
}
