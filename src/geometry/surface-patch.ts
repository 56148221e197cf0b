import { closestPoint } from './query.ts'
import type { MeshTree } from './tree.ts'
import { closestOnTriangle } from './triangle.ts'
import { cross, distance, length, scale, sub, type Vec3 } from './vec.ts'

/** One touch of a brush: everything of the surface within `radiusMm` of `centre` (mesh frame, mm). */
export interface Ball {
  readonly centre: Vec3
  readonly radiusMm: number
}

/** Part of a surface: triangle numbers of the tree's mesh, ascending; its vertices once each with the area they stand for. */
export interface SurfacePatch {
  readonly triangles: Uint32Array
  readonly points: readonly Vec3[]
  /** A third of the patch's area around each point, mm². */
  readonly weights: Float64Array
  readonly areaMm2: number
  /** Mean outward normal by area; unit, or zero where the patch closes around itself. */
  readonly normal: Vec3
}

/**
 * The part of a surface under brush strokes (mesh frame, mm): per ball the triangles that reach into it and hang together
 * with the surface point nearest its centre, so that the far wall of a thin bone is not taken along. Balls off the surface
 * give nothing; no balls give an empty patch.
 */
export function patchUnder(tree: MeshTree, balls: readonly Ball[]): SurfacePatch {
  const taken = new Set<number>()
  for (const ball of balls) for (const triangle of touching(tree, ball)) taken.add(triangle)
  return measured(tree, Uint32Array.from(taken).sort())
}

function touching(tree: MeshTree, { centre, radiusMm }: Ball): readonly number[] {
  if (tree.nodeCount === 0) return []
  const nearest = closestPoint(tree, centre)
  if (!nearest || !(nearest.distanceMm <= radiusMm)) return []
  const near = within(tree, centre, radiusMm)
  const { triangles } = tree.mesh
  const byVertex = new Map<number, number[]>()
  for (const t of near)
    for (let k = 0; k < 3; k++) {
      const vertex = triangles[3 * t + k]!
      const around = byVertex.get(vertex)
      if (around) around.push(t)
      else byVertex.set(vertex, [t])
    }
  const reached = new Set([nearest.triangle])
  const front = [nearest.triangle]
  while (front.length > 0) {
    const t = front.pop()!
    for (let k = 0; k < 3; k++)
      for (const next of byVertex.get(triangles[3 * t + k]!) ?? [])
        if (!reached.has(next)) {
          reached.add(next)
          front.push(next)
        }
  }
  return [...reached]
}

function within(tree: MeshTree, centre: Vec3, radiusMm: number): number[] {
  const { boxes, skip, start, count, nodeCount } = tree
  const found: number[] = []
  for (let node = 0; node < nodeCount; ) {
    const b = 8 * node
    const dx = Math.max(0, Math.abs(centre[0] - boxes[b]!) - boxes[b + 3]!)
    const dy = Math.max(0, Math.abs(centre[1] - boxes[b + 1]!) - boxes[b + 4]!)
    const dz = Math.max(0, Math.abs(centre[2] - boxes[b + 2]!) - boxes[b + 5]!)
    if (dx * dx + dy * dy + dz * dz > radiusMm * radiusMm) {
      node = skip[node]!
      continue
    }
    if (skip[node] === node + 1)
      for (let t = start[node]!; t < start[node]! + count[node]!; t++)
        if (distance(closestOnTriangle(centre, ...cornersOf(tree, t)), centre) <= radiusMm) found.push(t)
    node++
  }
  return found
}

function measured(tree: MeshTree, taken: Uint32Array): SurfacePatch {
  const { triangles } = tree.mesh
  const share = new Map<number, number>()
  const sum = [0, 0, 0]
  let areaMm2 = 0
  for (const t of taken) {
    const [a, b, c] = cornersOf(tree, t)
    const n = cross(sub(b, a), sub(c, a))
    const area = length(n) / 2
    areaMm2 += area
    for (let k = 0; k < 3; k++) {
      sum[k]! += n[k]!
      const vertex = triangles[3 * t + k]!
      share.set(vertex, (share.get(vertex) ?? 0) + area / 3)
    }
  }
  const whole: Vec3 = [sum[0]!, sum[1]!, sum[2]!]
  const size = length(whole)
  return {
    triangles: taken,
    points: [...share.keys()].map((vertex) => at(tree, vertex)),
    weights: Float64Array.from(share.values()),
    areaMm2,
    normal: size > 1e-9 * areaMm2 && size > 0 ? scale(whole, 1 / size) : [0, 0, 0],
  }
}

const at = ({ mesh: { positions } }: MeshTree, vertex: number): Vec3 => [
  positions[3 * vertex]!,
  positions[3 * vertex + 1]!,
  positions[3 * vertex + 2]!,
]

const cornersOf = (tree: MeshTree, t: number): readonly [Vec3, Vec3, Vec3] => [
  at(tree, tree.mesh.triangles[3 * t]!),
  at(tree, tree.mesh.triangles[3 * t + 1]!),
  at(tree, tree.mesh.triangles[3 * t + 2]!),
]
