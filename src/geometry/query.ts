import { corners } from './measure.ts'
import { type Plane, signedDistance } from './plane.ts'
import { type MeshTree, roundingSlack } from './tree.ts'
import { closestOnTriangle, squaredDistanceToTriangle } from './triangle.ts'
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
 * Every surface point along a ray, nearest first. A ray through an edge or vertex shared by triangles crosses the
 * surface once there: hits closer than 1e-9 mm with the same sense count as one.
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

/** Nodes still to visit and the least distance at which each can matter; deep enough for any tree of this kind. */
const stack = new Int32Array(512)
const stackMm = new Float64Array(512)

/** Calls `found` for every hit no farther than the limit it returned last; near parts of the tree first. */
function walkRay(tree: MeshTree, origin: Vec3, direction: Vec3, found: (hit: RayHit) => number): void {
  if (tree.nodeCount === 0) return
  const { boxes, skip } = tree
  const slack = roundingSlack(tree)
  const ray = { ox: origin[0], oy: origin[1], oz: origin[2], dx: direction[0], dy: direction[1], dz: direction[2] }
  const first = entryMm(boxes, 0, ray, slack)
  if (first === Number.POSITIVE_INFINITY) return
  let limit = Number.POSITIVE_INFINITY
  let depth = 0
  stack[0] = 0
  stackMm[0] = first
  for (depth = 1; depth > 0; ) {
    const node = stack[--depth]!
    if (stackMm[depth]! > limit) continue
    const left = node + 1
    if (skip[node] === left) {
      limit = hitLeaf(tree, node, ray, limit, found)
      continue
    }
    const right = skip[left]!
    const toLeft = entryMm(boxes, left, ray, slack)
    const toRight = entryMm(boxes, right, ray, slack)
    const leftFirst = toLeft <= toRight
    const far = leftFirst ? toRight : toLeft
    const near = leftFirst ? toLeft : toRight
    if (far <= limit && far < Number.POSITIVE_INFINITY) {
      stack[depth] = leftFirst ? right : left
      stackMm[depth++] = far
    }
    if (near <= limit && near < Number.POSITIVE_INFINITY) {
      stack[depth] = leftFirst ? left : right
      stackMm[depth++] = near
    }
  }
}

interface Line {
  readonly ox: number
  readonly oy: number
  readonly oz: number
  readonly dx: number
  readonly dy: number
  readonly dz: number
}

/** Barycentric slack, so that a ray along a shared edge cannot slip between the two triangles by rounding. */
const EDGE = 1e-12

function hitLeaf(tree: MeshTree, node: number, ray: Line, limit: number, found: (hit: RayHit) => number): number {
  const { positions: p, triangles } = tree.mesh
  const { ox, oy, oz, dx, dy, dz } = ray
  const first = tree.start[node]!
  const last = first + tree.count[node]!
  let most = limit
  for (let t = first; t < last; t++) {
    const i = 3 * triangles[3 * t]!
    const j = 3 * triangles[3 * t + 1]!
    const l = 3 * triangles[3 * t + 2]!
    const ax = p[i]!
    const ay = p[i + 1]!
    const az = p[i + 2]!
    const ux = p[j]! - ax
    const uy = p[j + 1]! - ay
    const uz = p[j + 2]! - az
    const vx = p[l]! - ax
    const vy = p[l + 1]! - ay
    const vz = p[l + 2]! - az
    const qx = dy * vz - dz * vy
    const qy = dz * vx - dx * vz
    const qz = dx * vy - dy * vx
    const det = ux * qx + uy * qy + uz * qz
    if (det === 0) continue
    const sx = ox - ax
    const sy = oy - ay
    const sz = oz - az
    const beta = (sx * qx + sy * qy + sz * qz) / det
    if (!(beta >= -EDGE && beta <= 1 + EDGE)) continue
    const rx = sy * uz - sz * uy
    const ry = sz * ux - sx * uz
    const rz = sx * uy - sy * ux
    const gamma = (dx * rx + dy * ry + dz * rz) / det
    if (!(gamma >= -EDGE && beta + gamma <= 1 + EDGE)) continue
    const mm = (vx * rx + vy * ry + vz * rz) / det
    if (!(mm >= 0 && mm <= most)) continue
    most = found({ point: [ox + mm * dx, oy + mm * dy, oz + mm * dz], distanceMm: mm, triangle: t, entering: det > 0 })
  }
  return most
}

/** Where a ray enters a box, mm, 0 when it starts inside, infinity when it misses. */
function entryMm(boxes: Float32Array, node: number, { ox, oy, oz, dx, dy, dz }: Line, slack: number): number {
  const b = 8 * node
  let near = 0
  let far = Number.POSITIVE_INFINITY
  const hx = boxes[b + 3]! + slack
  const cx = boxes[b]! - ox
  if (dx === 0) {
    if (cx > hx || cx < -hx) return Number.POSITIVE_INFINITY
  } else {
    const middle = cx / dx
    const half = Math.abs(hx / dx)
    near = Math.max(near, middle - half)
    far = Math.min(far, middle + half)
  }
  const hy = boxes[b + 4]! + slack
  const cy = boxes[b + 1]! - oy
  if (dy === 0) {
    if (cy > hy || cy < -hy) return Number.POSITIVE_INFINITY
  } else {
    const middle = cy / dy
    const half = Math.abs(hy / dy)
    near = Math.max(near, middle - half)
    far = Math.min(far, middle + half)
  }
  const hz = boxes[b + 5]! + slack
  const cz = boxes[b + 2]! - oz
  if (dz === 0) {
    if (cz > hz || cz < -hz) return Number.POSITIVE_INFINITY
  } else {
    const middle = cz / dz
    const half = Math.abs(hz / dz)
    near = Math.max(near, middle - half)
    far = Math.min(far, middle + half)
  }
  // Products with a tiny direction component round; the slack is relative here.
  return near <= far * (1 + 1e-12) + slack ? near * (1 - 1e-12) : Number.POSITIVE_INFINITY
}

/** Nearest surface point to `p` (mesh frame). An empty tree gives null. */
export function closestPoint(tree: MeshTree, p: Vec3): Hit | null {
  if (tree.nodeCount === 0) return null
  const { boxes, skip, start, count, mesh } = tree
  const { positions, triangles } = mesh
  const [x, y, z] = p
  let bestTriangle = -1
  let best2 = Number.POSITIVE_INFINITY
  stack[0] = 0
  stackMm[0] = 0
  for (let depth = 1; depth > 0; ) {
    const node = stack[--depth]!
    if (stackMm[depth]! >= best2) continue
    const left = node + 1
    if (skip[node] === left) {
      const last = start[node]! + count[node]!
      for (let t = start[node]!; t < last; t++) {
        const i = 3 * triangles[3 * t]!
        const j = 3 * triangles[3 * t + 1]!
        const l = 3 * triangles[3 * t + 2]!
        const d2 = squaredDistanceToTriangle(positions, i, j, l, x, y, z)
        if (d2 < best2) {
          best2 = d2
          bestTriangle = t
        }
      }
      continue
    }
    const right = skip[left]!
    const toLeft = squaredDistanceToBox(boxes, left, x, y, z)
    const toRight = squaredDistanceToBox(boxes, right, x, y, z)
    const leftFirst = toLeft <= toRight
    stack[depth] = leftFirst ? right : left
    stackMm[depth++] = leftFirst ? toRight : toLeft
    stack[depth] = leftFirst ? left : right
    stackMm[depth++] = leftFirst ? toLeft : toRight
  }
  const point = closestOnTriangle(p, ...corners(mesh, bestTriangle))
  return { point, distanceMm: distance(p, point), triangle: bestTriangle }
}

function squaredDistanceToBox(boxes: Float32Array, node: number, x: number, y: number, z: number): number {
  const b = 8 * node
  const dx = Math.max(0, Math.abs(x - boxes[b]!) - boxes[b + 3]!)
  const dy = Math.max(0, Math.abs(y - boxes[b + 1]!) - boxes[b + 4]!)
  const dz = Math.max(0, Math.abs(z - boxes[b + 2]!) - boxes[b + 5]!)
  return dx * dx + dy * dy + dz * dz
}

/**
 * The vertex farthest along `direction` among those on the positive side of every `within` plane (mesh frame); null
 * when none is there. Ties keep the first found.
 */
export function support(tree: MeshTree, direction: Vec3, within: readonly Plane[] = []): Vec3 | null {
  const { boxes, skip, start, count, nodeCount } = tree
  const { positions, triangles } = tree.mesh
  if (nodeCount === 0) return null
  const [dx, dy, dz] = direction
  const slack = roundingSlack(tree)
  const reach = (node: number): number => {
    const b = 8 * node
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
