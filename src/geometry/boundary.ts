import { BOUNDARY, nextHalfEdge } from './edge-match.ts'
import type { Mesh } from './mesh.ts'
import type { Vec3 } from './vec.ts'

/** A closed chain of boundary edges, in the direction in which its triangles run along them. */
export interface BoundaryLoop {
  /** Vertex numbers in order; the last joins the first. */
  readonly vertices: readonly number[]
  readonly lengthMm: number
  readonly centre: Vec3
}

/**
 * Traces the edges that have one triangle only into loops. Where loops touch at a vertex they are parted there, so
 * that no loop passes a vertex twice. Chains that do not close (possible only where triangles disagree about which
 * side is out) come back as loops too, closed by their missing step.
 */
export function boundaryLoops(mesh: Mesh, twin: Int32Array): BoundaryLoop[] {
  const { triangles } = mesh
  const waiting = new Map<number, number[]>()
  for (let h = 0; h < twin.length; h++) {
    if (twin[h] !== BOUNDARY) continue
    const from = triangles[h]!
    const list = waiting.get(from)
    if (list === undefined) waiting.set(from, [h])
    else list.push(h)
  }
  const loops: BoundaryLoop[] = []
  for (const [start] of waiting) {
    for (;;) {
      const chain = walk(start, waiting, triangles)
      if (chain.length === 0) break
      for (const loop of partAtRepeats(chain)) loops.push(measured(mesh, loop))
    }
  }
  return loops
}

/** Follows boundary edges from `start` until none leads on, consuming them; vertex numbers, the start not repeated. */
function walk(start: number, waiting: Map<number, number[]>, triangles: Uint32Array): number[] {
  const chain: number[] = []
  let at = start
  for (;;) {
    const next = waiting.get(at)?.pop()
    if (next === undefined) break
    chain.push(at)
    at = triangles[nextHalfEdge(next)]!
  }
  if (chain.length > 0 && at !== chain[0]) chain.push(at)
  return chain
}

/** Cuts a closed walk at every vertex it passes again. */
function partAtRepeats(chain: readonly number[]): number[][] {
  const loops: number[][] = []
  const path: number[] = []
  const placeInPath = new Map<number, number>()
  for (const v of chain) {
    const seen = placeInPath.get(v)
    if (seen !== undefined) {
      const loop = path.splice(seen)
      for (const w of loop) placeInPath.delete(w)
      loops.push(loop)
    }
    placeInPath.set(v, path.length)
    path.push(v)
  }
  if (path.length > 0) loops.push(path)
  return loops
}

function measured(mesh: Mesh, vertices: readonly number[]): BoundaryLoop {
  const p = mesh.positions
  let lengthMm = 0
  let x = 0
  let y = 0
  let z = 0
  let previous = vertices.at(-1)!
  for (const v of vertices) {
    lengthMm += Math.hypot(
      p[3 * v]! - p[3 * previous]!,
      p[3 * v + 1]! - p[3 * previous + 1]!,
      p[3 * v + 2]! - p[3 * previous + 2]!,
    )
    x += p[3 * v]! / vertices.length
    y += p[3 * v + 1]! / vertices.length
    z += p[3 * v + 2]! / vertices.length
    previous = v
  }
  return { vertices, lengthMm, centre: [x, y, z] }
}
