import { type Box, boundingBox } from '../geometry/measure.ts'
import type { Mesh } from '../geometry/mesh.ts'

/** A mesh of fewer triangles is quick enough as it is. */
const leastTriangles = 60_000
/** Corners within cubes of this edge become one, mm. */
const cellMm = 2
const mostCells = 6_000_000

/**
 * A sketch of a fine surface (mm, any frame), to start a search from that ends on the surface itself: all corners within a cube
 * of 2 mm become their mean, and triangles that shrink to an edge fall out. A tenth of the triangles of a scan, as continuous as it was.
 * A mesh of few triangles is its own sketch. `box`: its bounding box, if it is known already.
 */
export function sketchOf(mesh: Mesh, box?: Box): Mesh {
  const { positions: p, triangles } = mesh
  if (triangles.length < 3 * leastTriangles) return mesh
  const { min, max } = box ?? boundingBox(mesh)
  const size = (edge: number) => [0, 1, 2].map((k) => Math.floor((max[k]! - min[k]!) / edge) + 1)
  let edge = cellMm
  while (size(edge).reduce((a, b) => a * b) > mostCells) edge *= 1.3
  const [nx, ny, nz] = size(edge) as [number, number, number]
  const cornerIn = new Int32Array(nx * ny * nz).fill(-1)
  const n = p.length / 3
  const cornerOf = new Int32Array(n)
  const sums = new Float64Array(p.length)
  const counts = new Uint32Array(n)
  let count = 0
  for (let v = 0; v < n; v++) {
    const x = p[3 * v]!
    const y = p[3 * v + 1]!
    const z = p[3 * v + 2]!
    const cell =
      (within((z - min[2]) / edge, nz) * ny + within((y - min[1]) / edge, ny)) * nx + within((x - min[0]) / edge, nx)
    if (cornerIn[cell] === -1) cornerIn[cell] = count++
    const corner = cornerIn[cell]!
    cornerOf[v] = corner
    sums[3 * corner]! += x
    sums[3 * corner + 1]! += y
    sums[3 * corner + 2]! += z
    counts[corner]!++
  }
  const positions = sums.slice(0, 3 * count)
  for (let i = 0; i < positions.length; i++) positions[i]! /= counts[(i / 3) | 0]!
  const kept = new Uint32Array(triangles.length)
  let end = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const a = cornerOf[triangles[t]!]!
    const b = cornerOf[triangles[t + 1]!]!
    const c = cornerOf[triangles[t + 2]!]!
    if (a === b || b === c || c === a) continue
    kept[end++] = a
    kept[end++] = b
    kept[end++] = c
  }
  return { positions, triangles: kept.slice(0, end) }
}

/** The cell of a place; corners no triangle uses may lie outside the box. */
const within = (at: number, cells: number): number => Math.max(0, Math.min(cells - 1, Math.floor(at)))
