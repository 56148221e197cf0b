import { type BoundaryLoop, boundaryLoops } from '../boundary.ts'
import { matchEdges, nextHalfEdge } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { fillLoop } from './fill-loop.ts'

/**
 * Fills every hole whose border is `minLengthMm` to `maxLengthMm` long with triangles on its own vertices, or, where
 * that would repeat an edge of the mesh, with a fan about a new vertex at its centre.
 */
export function fillHoles(mesh: Mesh, minLengthMm: number, maxLengthMm: number): Mesh {
  const { twin } = matchEdges(mesh.triangles, mesh.positions.length / 3)
  const loops = boundaryLoops(mesh, twin).filter(
    (l) => l.lengthMm >= minLengthMm && l.lengthMm <= maxLengthMm && l.vertices.length > 2,
  )
  if (loops.length === 0) return mesh
  const isEdge = edgesAmong(mesh, loops)
  const added: number[] = []
  const centres: number[] = []
  for (const loop of loops) {
    const border = loop.vertices.toReversed()
    const patch = fillLoop(mesh.positions, border, isEdge)
    if (patch !== null) {
      for (const v of patch) added.push(v)
      continue
    }
    const centre = (mesh.positions.length + centres.length) / 3
    centres.push(...loop.centre)
    border.forEach((v, k) => {
      added.push(v, border[(k + 1) % border.length]!, centre)
    })
  }
  return extended(mesh, centres, added)
}

/** The mesh with further vertices (3 numbers each) and triangles. */
export function extended(mesh: Mesh, vertices: readonly number[], triangles: readonly number[]): Mesh {
  const positions = new Float64Array(mesh.positions.length + vertices.length)
  positions.set(mesh.positions)
  positions.set(vertices, mesh.positions.length)
  const all = new Uint32Array(mesh.triangles.length + triangles.length)
  all.set(mesh.triangles)
  all.set(triangles, mesh.triangles.length)
  return { positions, triangles: all }
}

/** Tells edges of the mesh between two vertices of one of the loops. */
export function edgesAmong({ triangles }: Mesh, loops: readonly BoundaryLoop[]): (a: number, b: number) => boolean {
  const onLoop = new Set(loops.flatMap((l) => [...l.vertices]))
  const edges = new Map<number, Set<number>>()
  for (let h = 0; h < triangles.length; h++) {
    const a = triangles[h]!
    const b = triangles[nextHalfEdge(h)]!
    if (!onLoop.has(a) || !onLoop.has(b)) continue
    const low = Math.min(a, b)
    const set = edges.get(low)
    if (set === undefined) edges.set(low, new Set([Math.max(a, b)]))
    else set.add(Math.max(a, b))
  }
  return (a, b) => edges.get(Math.min(a, b))?.has(Math.max(a, b)) ?? false
}
