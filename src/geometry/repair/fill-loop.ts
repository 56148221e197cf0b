import { fillLoops } from '../cap.ts'
import { planeBasis } from '../plane-basis.ts'
import { fitPlaneToLoop } from './loop-plane.ts'

/** Longer borders than any scan's truncation has are left to a fan: in their plane they can take minutes. */
const LONGEST_FILLED = 20_000

/** Longest border that is filled by the search over all triangulations, whose time grows with the third power. */
const LONGEST_SEARCH = 200

/**
 * Triangles that fill a loop of vertices, wound along it, on its own vertices: the triangulation of least area and most
 * even triangles (dynamic programming: Barequet & Sharir, Comput Aided Geom Des 1995;12:207), or for long loops one in
 * the loop's best plane. `isEdge` tells chords that the mesh has as edges already, which are avoided. null: none found.
 */
export function fillLoop(
  positions: Float64Array,
  loop: readonly number[],
  isEdge: (a: number, b: number) => boolean,
): number[] | null {
  if (loop.length < 3 || loop.length > LONGEST_FILLED) return null
  if (loop.length <= LONGEST_SEARCH) return bestTriangulation(positions, loop, isEdge)
  const { normal } = fitPlaneToLoop(positions, loop)
  const [e, f] = planeBasis(normal)
  const along = (d: readonly [number, number, number]) => (v: number) =>
    positions[3 * v]! * d[0] + positions[3 * v + 1]! * d[1] + positions[3 * v + 2]! * d[2]
  const triangles = fillLoops([loop], along(e), along(f), new Set())
  const areSound = triangles.every((v, i) => v !== triangles[i % 3 === 2 ? i - 2 : i + 1])
  return areSound && triangles.length === 3 * (loop.length - 2) && !repeatsEdge(loop, triangles, isEdge)
    ? triangles
    : null
}

/** Whether a chord of the filling is an edge of the mesh already; the loop's own edges are, and may be. */
function repeatsEdge(
  loop: readonly number[],
  triangles: readonly number[],
  isEdge: (a: number, b: number) => boolean,
): boolean {
  const next = new Map(loop.map((v, k) => [v, loop[(k + 1) % loop.length]!]))
  return triangles.some((a, i) => {
    const b = triangles[i % 3 === 2 ? i - 2 : i + 1]!
    return next.get(a) !== b && next.get(b) !== a && isEdge(a, b)
  })
}

function bestTriangulation(
  p: Float64Array,
  loop: readonly number[],
  isEdge: (a: number, b: number) => boolean,
): number[] | null {
  const n = loop.length
  const cost = new Float64Array(n * n)
  const middle = new Int32Array(n * n).fill(-1)
  for (let span = 2; span < n; span++) {
    for (let i = 0; i + span < n; i++) {
      const j = i + span
      const isClosing = i === 0 && j === n - 1
      let best = Number.POSITIVE_INFINITY
      if (isClosing || !isEdge(loop[i]!, loop[j]!)) {
        for (let k = i + 1; k < j; k++) {
          const inner = cost[i * n + k]! + cost[k * n + j]!
          if (inner >= best) continue
          const total = inner + triangleCost(p, 3 * loop[i]!, 3 * loop[k]!, 3 * loop[j]!)
          if (total >= best) continue
          best = total
          middle[i * n + j] = k
        }
      }
      cost[i * n + j] = best
    }
  }
  if (!Number.isFinite(cost[n - 1]!)) return null
  const triangles: number[] = []
  const waiting: [number, number][] = [[0, n - 1]]
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const [i, j] = next
    if (j - i < 2) continue
    const k = middle[i * n + j]!
    triangles.push(loop[i]!, loop[k]!, loop[j]!)
    waiting.push([i, k], [k, j])
  }
  return triangles
}

/** Area plus a tenth of the area that its sides could span evenly: flat holes get even triangles, none without area. */
function triangleCost(p: Float64Array, a: number, b: number, c: number): number {
  const ux = p[b]! - p[a]!
  const uy = p[b + 1]! - p[a + 1]!
  const uz = p[b + 2]! - p[a + 2]!
  const vx = p[c]! - p[a]!
  const vy = p[c + 1]! - p[a + 1]!
  const vz = p[c + 2]! - p[a + 2]!
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  const uu = ux * ux + uy * uy + uz * uz
  const vv = vx * vx + vy * vy + vz * vz
  const uv = ux * vx + uy * vy + uz * vz
  return Math.sqrt(nx * nx + ny * ny + nz * nz) / 2 + (0.1 * (2 * uu + 2 * vv - 2 * uv)) / (4 * Math.sqrt(3))
}
