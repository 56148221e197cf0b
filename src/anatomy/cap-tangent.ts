import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Bridge } from './bridge.ts'
import { capFloor } from './cap.ts'
import { patchesOf } from './patches.ts'

/** Depth of the cap whose mean tells how far a condyle stands out, mm. */
const capMm = 3
/** A cap reaches no farther than this from the outermost vertex along the condyle, mm. */
const reachMm = 25
/** Surface this far inside the outermost vertex is looked at, so that a spike of some millimetres is no cap of its own, mm. */
const lookMm = capMm + 6
const pieceMm = 1

/** A common tangent, and what stands out on it that is too narrow to be a condyle, limb coordinates, mm. */
export interface CapTangent extends Bridge {
  readonly narrow: readonly { readonly at: Vec3; readonly radiusMm: number }[]
}

/** A tangent that turns less is at rest, mm per mm. */
const stillTurn = 1e-9

/**
 * The common tangent of both condyles by their caps: each condyle stands out as far as a paraboloid with its cap would, a third
 * of the cap's 3 mm above the cap's mean height (the surface seen along `out`, each place weighing by its depth in the
 * cap). An extreme is one vertex and wanders with mesh and noise; the mean of some 300 mm² hardly moves.
 * `vertices`: where the tangent touches the mesh's vertices, `out` the coordinate it lies lowest in, limb coordinates, mm. Gives the middles of
 * the caps, laid on the tangent. A condyle without surface there keeps its vertex. A cap too small for a condyle (an osteophyte, a
 * spike) is named in `narrow`.
 */
export function capTangent(part: Mesh, vertices: Bridge, out: 0 | 1): CapTangent {
  const split = (vertices.medial[2] + vertices.lateral[2]) / 2
  let tilt = (vertices.lateral[out] - vertices.medial[out]) / (vertices.lateral[2] - vertices.medial[2])
  const medial = condyle(part, vertices.medial, out, tilt, (z) => z < split)
  const lateral = condyle(part, vertices.lateral, out, tilt, (z) => z > split)
  if (medial.count === 0 || lateral.count === 0) return { ...vertices, narrow: [] }
  for (let round = 0; ; round++) {
    const m = capUnder(medial, tilt, out)
    const l = capUnder(lateral, tilt, out)
    const turn = (l.level - m.level) / (l.z - m.z)
    tilt += turn
    if (Math.abs(turn) > stillTurn && round < 30) continue
    const laid = (cap: Cap): Vec3 => {
      const at: [number, number, number] = [0, 0, cap.z]
      at[out] = cap.level + tilt * cap.z
      at[out === 0 ? 1 : 0] = cap.along
      return at
    }
    const narrow = [m, l].flatMap((cap) =>
      cap.areaMm2 < leastAreaMm2
        ? [{ at: laid(cap), radiusMm: baseOf(cap.areaMm2) }]
        : cap.proudMm > mostProudMm
          ? [{ at: cap.outermost, radiusMm: proudBaseMm }]
          : [],
    )
    return { medial: laid(m), lateral: laid(l), narrow }
  }
}

/**
 * Caps of eleven femora, real and made, with noise and in 3,000 triangles, are 263 mm² and more, of one in 300 triangles 193; those of
 * bumps 8 to 16 mm wide are 23 to 119.
 */
const leastAreaMm2 = 150
/**
 * What stands farther over the apex of its cap belongs to no condyle, mm, and how far about it is left out. (A paraboloid stands over it by nothing,
 * with 0.5 mm of noise by 1 mm.)
 */
const mostProudMm = 1.4
const proudBaseMm = 7
/** How far a bump reaches about the middle of its cap, mm. */
const baseOf = (areaMm2: number): number => 2.2 * Math.sqrt(areaMm2 / Math.PI) + 2

/** Pieces of a condyle's surface near the tangent; `weight` is the area seen along the outward coordinate. */
interface Condyle {
  readonly count: number
  readonly along: Float64Array
  readonly height: Float64Array
  readonly z: Float64Array
  readonly weight: Float64Array
  /** Heights over the tilted plane, made anew for every tilt. */
  readonly depth: Float64Array
  /** Floor of the last cap, to start the next search from. */
  lastFloor: number
}

function condyle(part: Mesh, vertex: Vec3, out: 0 | 1, tilt: number, own: (z: number) => boolean): Condyle {
  const p = part.positions
  const alongAt = out === 0 ? 1 : 0
  const over = (at: Float64Array, i: number): number => at[i + out]! - vertex[out] - tilt * (at[i + 2]! - vertex[2])
  const near = (i: number): boolean => over(p, i) < lookMm && Math.abs(p[i + alongAt]! - vertex[alongAt]) < reachMm + 5
  const { count, centres, normals, areas } = patchesOf(part, pieceMm, near)
  const along = new Float64Array(count)
  const height = new Float64Array(count)
  const z = new Float64Array(count)
  const weight = new Float64Array(count)
  let kept = 0
  for (let i = 0; i < 3 * count; i += 3) {
    if (!own(centres[i + 2]!) || over(centres, i) > lookMm) continue
    if (Math.abs(centres[i + alongAt]! - vertex[alongAt]) > reachMm) continue
    along[kept] = centres[i + alongAt]!
    height[kept] = centres[i + out]!
    z[kept] = centres[i + 2]!
    // A left bone's triangles are wound inward in limb coordinates.
    weight[kept] = Math.abs(normals[i + out]!) * areas[i / 3]!
    if (weight[kept]! > 0) kept++
  }
  const of = (values: Float64Array) => values.subarray(0, kept)
  return {
    count: kept,
    along: of(along),
    height: of(height),
    z: of(z),
    weight: of(weight),
    depth: new Float64Array(kept),
    lastFloor: Number.NaN,
  }
}

interface Cap {
  /** How far out the condyle stands over z = 0 along the tilt: the least outward coordinate of its paraboloid. */
  readonly level: number
  readonly along: number
  readonly z: number
  /** As seen along the outward coordinate. */
  readonly areaMm2: number
  /** How far its outermost piece stands over the apex, and where that lies. */
  readonly proudMm: number
  readonly outermost: Vec3
}

function capUnder(c: Condyle, tilt: number, out: 0 | 1): Cap {
  for (let i = 0; i < c.count; i++) c.depth[i] = c.height[i]! - tilt * c.z[i]!
  const floor = capFloor(c.depth, c.weight, c.count, { capMm, lookMm, from: c.lastFloor })
  c.lastFloor = floor
  let weight = 0
  let along = 0
  let z = 0
  let areaMm2 = 0
  let least = 0
  for (let i = 0; i < c.count; i++) {
    const over = floor - c.depth[i]!
    if (over <= 0) continue
    if (c.depth[i]! < c.depth[least]!) least = i
    const w = c.weight[i]! * over
    areaMm2 += c.weight[i]!
    weight += w
    along += w * c.along[i]!
    z += w * c.z[i]!
  }
  const outermost: [number, number, number] = [0, 0, c.z[least]!]
  outermost[out] = c.height[least]!
  outermost[out === 0 ? 1 : 0] = c.along[least]!
  const level = floor - capMm
  return { level, along: along / weight, z: z / weight, areaMm2, proudMm: level - c.depth[least]!, outermost }
}
