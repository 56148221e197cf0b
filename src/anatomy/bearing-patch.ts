import { unit, type Vec3 } from '../geometry/vec.ts'
import type { HeightField } from './height-field.ts'
import { type BearingPatch, settledPatch } from './settled-patch.ts'
import type { Members } from './weighed-plane.ts'

/** Lean against the patch plane up to which surface belongs to it. */
export const withinDeg = 25
const startWithinDeg = 25

/**
 * The patch within z bounds of a height field (the plafond's definition in DEVELOPERS.md): surface within 25° of the
 * patch plane's normal, the largest connected part, the plane refitted by area until it stays. Nodes that the edge of
 * the patch crosses count by their covered share. `dropMm` is the neighbourhood that says how high the surface lies under
 * the centroid. The start is the mean normal of the surface within 25° of Y. Null when
 * no surface faces that way.
 */
export function bearingPatch(
  field: HeightField,
  z: readonly [number, number],
  dropMm: number,
  mostRounds = 100,
  leanDeg = withinDeg,
): BearingPatch | null {
  const nodes = nodesWithin(field, z)
  const start = meanNormal(field, nodes)
  if (start === null) return null
  const work = workspaceOf(field, nodes)
  const membersUnder = (normal: Vec3) => membersOf(field, nodes, normal, leanDeg, work)
  return settledPatch(field, start, membersUnder, { dropMm, mostRounds, deepestShare: 1 })
}

/** Memory that every round writes anew, and what no round changes. */
interface Workspace {
  /** Cosine between a node's normal and the patch's, less the limit; NaN where the field is not looked at. */
  readonly over: Float64Array
  readonly mark: Uint8Array
  readonly at: Int32Array
  readonly share: Float64Array
  /** Length of (−a, 1, −b), in the order of the nodes. */
  readonly steepness: Float64Array
}

function workspaceOf({ height, slopeX, slopeZ }: HeightField, nodes: Int32Array): Workspace {
  const steepness = new Float64Array(nodes.length)
  for (let k = 0; k < nodes.length; k++) {
    const a = slopeX[nodes[k]!]!
    const b = slopeZ[nodes[k]!]!
    steepness[k] = Math.sqrt(1 + a * a + b * b)
  }
  return {
    over: new Float64Array(height.length).fill(Number.NaN),
    mark: new Uint8Array(height.length),
    at: new Int32Array(nodes.length),
    share: new Float64Array(nodes.length),
    steepness,
  }
}

/** Numbers of the nodes within the z bounds where a surface with a slope is seen. */
function nodesWithin(field: HeightField, z: readonly [number, number]): Int32Array {
  const out: number[] = []
  for (let j = 0; j < field.nz; j++) {
    const zc = field.lowZ + j * field.stepMm
    if (zc < z[0] || zc > z[1]) continue
    for (let at = j * field.nx; at < (j + 1) * field.nx; at++) if (!Number.isNaN(field.slopeX[at]!)) out.push(at)
  }
  return new Int32Array(out)
}

function meanNormal(field: HeightField, nodes: Int32Array): Vec3 | null {
  const limit = Math.cos((startWithinDeg * Math.PI) / 180)
  let sx = 0
  let sy = 0
  let sz = 0
  for (const at of nodes) {
    const a = field.slopeX[at]!
    const b = field.slopeZ[at]!
    if (1 / Math.sqrt(1 + a * a + b * b) <= limit) continue
    // Unit normal times area: (−a, 1, −b) per node.
    sx -= a
    sy += 1
    sz -= b
  }
  return sy > 0 ? unit([sx, sy, sz]) : null
}

/** Nodes of the largest connected part within the angle, those at its edge with their covered share. */
function membersOf(field: HeightField, nodes: Int32Array, normal: Vec3, leanDeg: number, work: Workspace): Members {
  const { nx, slopeX, slopeZ } = field
  const limit = Math.cos((leanDeg * Math.PI) / 180)
  const { over: q, mark, at, share, steepness } = work
  for (let k = 0; k < nodes.length; k++) {
    const n = nodes[k]!
    q[n] = (normal[1] - slopeX[n]! * normal[0] - slopeZ[n]! * normal[2]) / steepness[k]! - limit
  }
  mark.fill(0)
  const largest = largestPart(nx, nodes, q, mark)
  mark.fill(0)
  let count = 0
  for (let k = 0; k < largest.length; k++)
    for (let side = 0; side < 5; side++) {
      const n = largest[k]! + (side === 0 ? 0 : side === 1 ? -1 : side === 2 ? 1 : side === 3 ? -nx : nx)
      if (n < 0 || n >= q.length || mark[n] === 1 || Number.isNaN(q[n]!)) continue
      mark[n] = 1
      const covered = coveredShare(q, nx, n)
      if (covered <= 0) continue
      at[count] = n
      share[count++] = covered
    }
  return { at, share, count }
}

/** Share of a node's cell on the inner side of q = 0, for a straight edge across it. */
function coveredShare(q: Float64Array, nx: number, at: number): number {
  const own = q[at]!
  const left = q[at - 1] ?? Number.NaN
  const right = q[at + 1] ?? Number.NaN
  const down = q[at - nx] ?? Number.NaN
  const up = q[at + nx] ?? Number.NaN
  const du = ((Number.isNaN(right) ? own : right) - (Number.isNaN(left) ? own : left)) / 2
  const dv = ((Number.isNaN(up) ? own : up) - (Number.isNaN(down) ? own : down)) / 2
  const perCell = Math.sqrt(du * du + dv * dv)
  if (perCell < 1e-12) return own >= 0 ? 1 : 0
  return Math.min(1, Math.max(0, 0.5 + own / perCell))
}

function largestPart(nx: number, nodes: Int32Array, q: Float64Array, mark: Uint8Array): Int32Array {
  const queue = new Int32Array(nodes.length)
  let from = 0
  let to = 0
  let end = 0
  for (const seed of nodes) {
    if (mark[seed] === 1 || !(q[seed]! >= 0)) continue
    const first = end
    mark[seed] = 1
    queue[end++] = seed
    for (let head = first; head < end; head++) {
      const at = queue[head]!
      const column = at % nx
      for (let side = 0; side < 4; side++) {
        if ((side === 0 && column === 0) || (side === 1 && column === nx - 1)) continue
        const n = side === 0 ? at - 1 : side === 1 ? at + 1 : side === 2 ? at - nx : at + nx
        if (n < 0 || n >= q.length || mark[n] === 1 || !(q[n]! >= 0)) continue
        mark[n] = 1
        queue[end++] = n
      }
    }
    if (end - first > to - from) {
      from = first
      to = end
    }
  }
  return queue.subarray(from, to)
}
