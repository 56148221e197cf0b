import type { Mesh } from './mesh.ts'
import { cross, dot, length, sub, type Vec3 } from './vec.ts'

/**
 * Convex hull of points as a closed mesh wound outward (coordinates as given), by adding point after point and
 * replacing the faces it sees (incremental method: Preparata & Shamos, Computational Geometry 1985). null when the
 * points lie in a plane, to 1e-9 of their spread, or are fewer than four. Points nearer to a face than that are taken
 * to lie on it.
 */
export function convexHull(points: readonly Vec3[]): Mesh | null {
  const start = firstTetrahedron(points)
  if (start === null) return null
  const { corners, slack } = start
  let faces = tetrahedronFaces(points, corners)
  points.forEach((p, i) => {
    if (corners.includes(i)) return
    const seen = faces.filter((f) => dot(f.normal, p) - f.offset > slack)
    if (seen.length === 0) return
    const horizon = horizonOf(seen)
    faces = faces.filter((f) => !seen.includes(f))
    for (const [a, b] of horizon) faces.push(faceOf(points, a, b, i))
  })
  return meshOf(points, faces)
}

interface Face {
  readonly corners: readonly [number, number, number]
  readonly normal: Vec3
  readonly offset: number
}

const FLAT = 1e-9

/** Four points far apart and not in a plane, and the distance below which a point counts as on a face. */
function firstTetrahedron(points: readonly Vec3[]): { corners: readonly number[]; slack: number } | null {
  if (points.length < 4) return null
  const a = 0
  const b = farthest(points, (p) => length(sub(p, points[a]!)))
  const along = sub(points[b]!, points[a]!)
  const spread = length(along)
  if (!(spread > 0)) return null
  const c = farthest(points, (p) => length(cross(along, sub(p, points[a]!))))
  const normal = cross(along, sub(points[c]!, points[a]!))
  const size = length(normal)
  if (!(size > FLAT * spread * spread)) return null
  const height = (p: Vec3) => Math.abs(dot(normal, sub(p, points[a]!))) / size
  const d = farthest(points, height)
  return height(points[d]!) > FLAT * spread ? { corners: [a, b, c, d], slack: FLAT * spread } : null
}

function farthest(points: readonly Vec3[], measure: (p: Vec3) => number): number {
  let best = 0
  let most = Number.NEGATIVE_INFINITY
  points.forEach((p, i) => {
    const m = measure(p)
    if (m <= most) return
    most = m
    best = i
  })
  return best
}

function tetrahedronFaces(points: readonly Vec3[], corners: readonly number[]): Face[] {
  const [a, b, c, d] = corners as [number, number, number, number]
  const isPositive =
    dot(cross(sub(points[b]!, points[a]!), sub(points[c]!, points[a]!)), sub(points[d]!, points[a]!)) > 0
  const [p, q] = isPositive ? [b, c] : [c, b]
  return [faceOf(points, a, q, p), faceOf(points, a, p, d), faceOf(points, p, q, d), faceOf(points, q, a, d)]
}

function faceOf(points: readonly Vec3[], a: number, b: number, c: number): Face {
  const n = cross(sub(points[b]!, points[a]!), sub(points[c]!, points[a]!))
  const size = length(n)
  // A face without area sees nothing.
  const normal: Vec3 = size > 0 ? [n[0] / size, n[1] / size, n[2] / size] : [0, 0, 0]
  return { corners: [a, b, c], normal, offset: dot(normal, points[a]!) }
}

/** Edges of the seen faces whose other face is not seen, in the direction of the seen faces. */
function horizonOf(seen: readonly Face[]): [number, number][] {
  const edges = new Map<string, [number, number]>()
  for (const { corners } of seen) {
    for (let k = 0; k < 3; k++) {
      const a = corners[k]!
      const b = corners[(k + 1) % 3]!
      if (!edges.delete(`${b} ${a}`)) edges.set(`${a} ${b}`, [a, b])
    }
  }
  return [...edges.values()]
}

function meshOf(points: readonly Vec3[], faces: readonly Face[]): Mesh {
  const numbers = new Map<number, number>()
  const positions: number[] = []
  const triangles = faces.flatMap((f) =>
    f.corners.map((v) => {
      const known = numbers.get(v)
      if (known !== undefined) return known
      numbers.set(v, numbers.size)
      positions.push(...points[v]!)
      return numbers.size - 1
    }),
  )
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
