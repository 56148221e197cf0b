import { corners } from './measure.ts'
import { type Plane, signedDistance } from './plane.ts'
import { type MeshTree, roundingSlack } from './tree.ts'
import { closestOnTriangle } from './triangle.ts'
import { distance, type Vec3 } from './vec.ts'

export interface Hit {
  readonly point: Vec3
  readonly distanceMm: number
  /** Triangle number in the tree's mesh. */
  readonly triangle: number
}

export interface RayHit extends Hit {
  /** True where the ray goes into the solid (against the outward normal). */
  readonly entering: boolean
}

/** First surface point along a ray from `origin` along the unit `direction` (mesh frame); null when it misses. */
export function firstHit(tree: MeshTree, origin: Vec3, direction: Vec3): RayHit | null {
  let nearest: RayHit | null = null
  walkRay(tree, origin, direction, (hit) => {
    if (nearest === null || hit.distanceMm < nearest.distanceMm) nearest = hit
    return (nearest as RayHit).distanceMm
  })
  return nearest
}

/**
 * Every surface point along a ray, nearest first. A ray through an edge or vertex shared by triangles crosses the surface once there:
 * hits closer than 1e-9 mm with the same sense count as one.
 */
export function allHits(tree: MeshTree, origin: Vec3, direction: Vec3): RayHit[] {
  const hits: RayHit[] = []
  walkRay(tree, origin, direction, (hit) => {
    hits.push(hit)
    return Number.POSITIVE_INFINITY
  })
  hits.sort((a, b) => a.distanceMm - b.distanceMm || a.triangle - b.triangle)
  return hits.filter((hit, k) => {
    for (let l = k - 1; l >= 0 && hit.distanceMm - hits[l]!.distanceMm < 1e-9; l--) {
      if (hits[l]!.entering === hit.entering) return false
    }
    return true
  })
}

/** Calls `found` for every hit no farther than the limit it returned last. */
function walkRay(tree: MeshTree, origin: Vec3, direction: Vec3, found: (hit: RayHit) => number): void {
  const { boxes, skip, start, count, nodeCount } = tree
  const { positions: p, triangles } = tree.mesh
  const [ox, oy, oz] = origin
  const [dx, dy, dz] = direction
  const slack = roundingSlack(tree)
  let limit = Number.POSITIVE_INFINITY
  for (let node = 0; node < nodeCount; ) {
    const b = 6 * node
    if (!rayMeetsBox(boxes, b, ox, oy, oz, dx, dy, dz, limit, slack)) {
      node = skip[node]!
      continue
    }
    if (skip[node] === node + 1) {
      for (let t = start[node]!; t < start[node]! + count[node]!; t++) {
        const i = 3 * triangles[3 * t]!
        const j = 3 * triangles[3 * t + 1]!
        const l = 3 * triangles[3 * t + 2]!
        const ux = p[j]! - p[i]!
        const uy = p[j + 1]! - p[i + 1]!
        const uz = p[j + 2]! - p[i + 2]!
        const vx = p[l]! - p[i]!
        const vy = p[l + 1]! - p[i + 1]!
        const vz = p[l + 2]! - p[i + 2]!
        const qx = dy * vz - dz * vy
        const qy = dz * vx - dx * vz
        const qz = dx * vy - dy * vx
        const det = ux * qx + uy * qy + uz * qz
        if (det === 0) continue
        const sx = ox - p[i]!
        const sy = oy - p[i + 1]!
        const sz = oz - p[i + 2]!
        const beta = (sx * qx + sy * qy + sz * qz) / det
        if (!(beta >= -EDGE && beta <= 1 + EDGE)) continue
        const rx = sy * uz - sz * uy
        const ry = sz * ux - sx * uz
        const rz = sx * uy - sy * ux
        const gamma = (dx * rx + dy * ry + dz * rz) / det
        if (!(gamma >= -EDGE && beta + gamma <= 1 + EDGE)) continue
        const distanceMm = (vx * rx + vy * ry + vz * rz) / det
        if (!(distanceMm >= 0 && distanceMm <= limit)) continue
        limit = found({
          point: [ox + distanceMm * dx, oy + distanceMm * dy, oz + distanceMm * dz],
          distanceMm,
          triangle: t,
          entering: det > 0,
        })
      }
    }
    node++
  }
}

/** Barycentric slack, so that a ray along a shared edge cannot slip between the two triangles by rounding. */
const EDGE = 1e-12

function rayMeetsBox(
  boxes: Float64Array,
  b: number,
  ox: number,
  oy: number,
  oz: number,
  dx: number,
  dy: number,
  dz: number,
  limit: number,
  slack: number,
): boolean {
  let near = 0
  let far = limit
  for (let axis = 0; axis < 3; axis++) {
    const d = axis === 0 ? dx : axis === 1 ? dy : dz
    const toCentre = boxes[b + axis]! - (axis === 0 ? ox : axis === 1 ? oy : oz)
    const half = boxes[b + 3 + axis]! + slack
    if (d === 0) {
      if (toCentre > half || toCentre < -half) return false
      continue
    }
    const t0 = (toCentre - half) / d
    const t1 = (toCentre + half) / d
    if (t0 < t1) {
      if (t0 > near) near = t0
      if (t1 < far) far = t1
    } else {
      if (t1 > near) near = t1
      if (t0 < far) far = t0
    }
    if (near > far * (1 + 1e-14)) return false
  }
  return true
}

/** Nearest surface point to `p` (mesh frame). An empty tree gives null. */
export function closestPoint(tree: MeshTree, p: Vec3): Hit | null {
  if (tree.nodeCount === 0) return null
  const { boxes, skip, start, count, mesh } = tree
  let best: Hit | null = null
  let bestMm = Number.POSITIVE_INFINITY
  const stack: number[] = [0]
  const far: number[] = [boxDistance(boxes, 0, p)]
  while (stack.length > 0) {
    const node = stack.pop()!
    if (far.pop()! >= bestMm) continue
    if (skip[node] === node + 1) {
      for (let t = start[node]!; t < start[node]! + count[node]!; t++) {
        const [a, b, c] = corners(mesh, t)
        const q = closestOnTriangle(p, a, b, c)
        const d = distance(p, q)
        if (d < bestMm) {
          bestMm = d
          best = { point: q, distanceMm: d, triangle: t }
        }
      }
      continue
    }
    const left = node + 1
    const right = skip[left]!
    const dl = boxDistance(boxes, left, p)
    const dr = boxDistance(boxes, right, p)
    if (dl < dr) {
      stack.push(right, left)
      far.push(dr, dl)
    } else {
      stack.push(left, right)
      far.push(dl, dr)
    }
  }
  return best
}

function boxDistance(boxes: Float64Array, node: number, p: Vec3): number {
  const b = 6 * node
  const x = Math.max(0, Math.abs(p[0] - boxes[b]!) - boxes[b + 3]!)
  const y = Math.max(0, Math.abs(p[1] - boxes[b + 1]!) - boxes[b + 4]!)
  const z = Math.max(0, Math.abs(p[2] - boxes[b + 2]!) - boxes[b + 5]!)
  return Math.sqrt(x * x + y * y + z * z)
}

/**
 * The vertex farthest along `direction` among those on the positive side of every `within` plane (mesh frame); null when
 * none is there. Ties keep the first found.
 */
export function support(tree: MeshTree, direction: Vec3, within: readonly Plane[] = []): Vec3 | null {
  const { boxes, skip, start, count, nodeCount } = tree
  const { positions, triangles } = tree.mesh
  if (nodeCount === 0) return null
  const [dx, dy, dz] = direction
  const slack = roundingSlack(tree)
  const reach = (node: number): number => {
    const b = 6 * node
    for (const q of within) {
      const s = signedDistance(q, [boxes[b]!, boxes[b + 1]!, boxes[b + 2]!])
      const n = q.normal
      const r = Math.abs(n[0]) * boxes[b + 3]! + Math.abs(n[1]) * boxes[b + 4]! + Math.abs(n[2]) * boxes[b + 5]!
      if (s + r < -slack) return Number.NEGATIVE_INFINITY
    }
    return (
      dx * boxes[b]! +
      dy * boxes[b + 1]! +
      dz * boxes[b + 2]! +
      Math.abs(dx) * boxes[b + 3]! +
      Math.abs(dy) * boxes[b + 4]! +
      Math.abs(dz) * boxes[b + 5]!
    )
  }
  let best: Vec3 | null = null
  let bestAlong = Number.NEGATIVE_INFINITY
  const stack: number[] = [0]
  const bound: number[] = [reach(0)]
  while (stack.length > 0) {
    const node = stack.pop()!
    if (bound.pop()! + slack <= bestAlong) continue
    if (skip[node] === node + 1) {
      for (let k = 3 * start[node]!; k < 3 * (start[node]! + count[node]!); k++) {
        const i = 3 * triangles[k]!
        const v: Vec3 = [positions[i]!, positions[i + 1]!, positions[i + 2]!]
        const along = dx * v[0] + dy * v[1] + dz * v[2]
        if (along > bestAlong && within.every((q) => signedDistance(q, v) >= 0)) {
          bestAlong = along
          best = v
        }
      }
      continue
    }
    const left = node + 1
    const right = skip[left]!
    const bl = reach(left)
    const br = reach(right)
    const order = bl > br ? [right, left] : [left, right]
    for (const child of order) {
      const b = child === left ? bl : br
      if (b + slack > bestAlong && b !== Number.NEGATIVE_INFINITY) {
        stack.push(child)
        bound.push(b)
      }
    }
  }
  return best
}
