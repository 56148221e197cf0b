import { Crossings, trace } from './contour.ts'
import { type Plane, signedDistance } from './plane.ts'
import { planeBasis } from './plane-basis.ts'
import { reachOfTree, snapDistance } from './snap.ts'
import { type MeshTree, roundingSlack } from './tree.ts'
import { addScaled, distance, dot, sub, type Vec3 } from './vec.ts'

export interface Section {
  /**
   * Outlines in the plane, mesh frame, mm; outer ones counter-clockwise seen from the plane's normal, holes
   * clockwise.
   */
  readonly loops: readonly (readonly Vec3[])[]
  readonly areaMm2: number
  /** Centre of the section's area; null when there is no area. */
  readonly centroid: Vec3 | null
  /** True when an outline runs into the border of an open mesh; that outline is then closed by a straight line. */
  readonly open: boolean
}

/**
 * Cuts the mesh with a plane (mesh frame, unit normal). Where a face lies in the plane, the outline just on the
 * positive side. A plane that misses gives no loops, area 0, no centroid.
 */
export function section(tree: MeshTree, plane: Plane): Section {
  const crossings = collectCrossings(tree, plane)
  const { loops, chains } = trace(crossings)
  const at = (a: number, b: number): Vec3 => crossingPoint(tree.mesh.positions, plane, a, b)
  const start = (k: number): Vec3 => at(crossings.fromA[k]!, crossings.fromB[k]!)
  const closed = loops.map((pieces) => withoutRepeats(pieces.map(start)))
  const open = chains.map((pieces) => {
    const last = pieces[pieces.length - 1]!
    return withoutRepeats([...pieces.map(start), at(crossings.toA[last]!, crossings.toB[last]!)])
  })
  const all = [...closed, ...open].filter((loop) => loop.length >= 3)
  return { loops: all, ...loopMeasures(all, plane), open: chains.length > 0 }
}

/** Signed area and centroid of a set of plane loops (holes count negative). */
export function loopMeasures(
  loops: readonly (readonly Vec3[])[],
  plane: Plane,
): { readonly areaMm2: number; readonly centroid: Vec3 | null } {
  const [u, v] = planeBasis(plane.normal)
  const origin = loops[0]?.[0]
  if (!origin) return { areaMm2: 0, centroid: null }
  let twice = 0
  let mu = 0
  let mv = 0
  for (const loop of loops) {
    const last = sub(loop[loop.length - 1]!, origin)
    let u0 = dot(last, u)
    let v0 = dot(last, v)
    for (const point of loop) {
      const d = sub(point, origin)
      const u1 = dot(d, u)
      const v1 = dot(d, v)
      const c = u0 * v1 - u1 * v0
      twice += c
      mu += c * (u0 + u1)
      mv += c * (v0 + v1)
      u0 = u1
      v0 = v1
    }
  }
  if (!(Math.abs(twice) > 0)) return { areaMm2: 0, centroid: null }
  const centroid = addScaled(addScaled(origin, u, mu / (3 * twice)), v, mv / (3 * twice))
  return { areaMm2: twice / 2, centroid }
}

/** Crossed triangles found through the tree; a vertex in the plane counts as on the negative side. */
function collectCrossings(tree: MeshTree, plane: Plane): Crossings {
  const { boxes, links, nodeCount, mesh, indices: triangles } = tree
  const p = mesh.positions
  const [nx, ny, nz] = plane.normal
  const offset = dot(plane.normal, plane.point)
  const snap = snapDistance(reachOfTree(tree), plane)
  const slack = roundingSlack(tree) + 2 * snap
  const crossings = new Crossings()
  for (let node = 0; node < nodeCount; ) {
    const b = 8 * node
    const s = nx * boxes[b]! + ny * boxes[b + 1]! + nz * boxes[b + 2]! - offset
    const reach = Math.abs(nx) * boxes[b + 3]! + Math.abs(ny) * boxes[b + 4]! + Math.abs(nz) * boxes[b + 5]! + slack
    if (s > reach || s < -reach) {
      node = links[b + 6]!
      continue
    }
    if (links[b + 6] === node + 1) {
      const first = 3 * links[b + 7]!
      const last = 3 * links[b + 15]!
      for (let k = first; k < last; k += 3) {
        const i = triangles[k]!
        const j = triangles[k + 1]!
        const l = triangles[k + 2]!
        const in0 = nx * p[3 * i]! + ny * p[3 * i + 1]! + nz * p[3 * i + 2]! - offset > snap
        const in1 = nx * p[3 * j]! + ny * p[3 * j + 1]! + nz * p[3 * j + 2]! - offset > snap
        const in2 = nx * p[3 * l]! + ny * p[3 * l + 1]! + nz * p[3 * l + 2]! - offset > snap
        if (in0 !== in1 || in1 !== in2) crossings.add(i, j, l, in0, in1, in2)
      }
    }
    node++
  }
  return crossings
}

/** The same point whichever of the two triangles asks: always reckoned from the lower vertex number. */
function crossingPoint(p: Float64Array, plane: Plane, a: number, b: number): Vec3 {
  const lo = Math.min(a, b)
  const hi = Math.max(a, b)
  const q0: Vec3 = [p[3 * lo]!, p[3 * lo + 1]!, p[3 * lo + 2]!]
  const q1: Vec3 = [p[3 * hi]!, p[3 * hi + 1]!, p[3 * hi + 2]!]
  const s0 = signedDistance(plane, q0)
  const s1 = signedDistance(plane, q1)
  const t = s0 === s1 ? 0.5 : Math.min(1, Math.max(0, s0 / (s0 - s1)))
  return t === 1 ? q1 : addScaled(q0, sub(q1, q0), t)
}

function withoutRepeats(points: readonly Vec3[]): Vec3[] {
  return points.filter((point, k) => distance(point, points[(k + points.length - 1) % points.length]!) > 0)
}
