import { isClosed } from '../geometry/closed.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { flipWinding } from '../geometry/transform.ts'
import { dot, sub, type Vec3 } from '../geometry/vec.ts'
import { weld } from '../geometry/weld.ts'

/**
 * Puts the cut block back on the rest of its bone, which one plane had parted: both caps go and the outlines are welded. Where
 * a later cut has changed the block's cap, the caps of what it took (`taken`) become the ledge it left on the rest. All
 * meshes closed, outward, in one frame.
 */
export function rejoin(block: Mesh, rest: Mesh, taken: readonly Mesh[], plane: Plane): Mesh {
  let joined = joinWithin(block, rest, taken, plane, tolerancesMm[0])
  for (const mm of tolerancesMm.slice(1)) {
    if (isClosed(joined)) break
    joined = joinWithin(block, rest, taken, plane, mm)
  }
  return joined
}

/**
 * How near a point must lie to count as in the plane. Cut points lie there to rounding; a surface vertex may by chance come near
 * enough to be mistaken (a plane through a landmark does), then the next narrower one tells them apart.
 */
const tolerancesMm = [1e-8, 1e-11, 2e-12, 4e-13] as const

function joinWithin(block: Mesh, rest: Mesh, taken: readonly Mesh[], plane: Plane, mm: number): Mesh {
  const isIn: InPlane = (p) => Math.abs(signedDistance(plane, p)) < mm
  const blockSide = splitFaces(block, isIn).others
  const ledges = taken.map((mesh) => {
    const { inPlane } = splitFaces(mesh, isIn)
    return { positions: inPlane.positions, triangles: flipWinding(inPlane.triangles) }
  })
  const restSide = withPointsInEdges(splitFaces(rest, isIn).others, pointsIn([blockSide, ...ledges], isIn), isIn)
  return together([blockSide, ...ledges, restSide])
}

type InPlane = (p: Vec3) => boolean

/** Faces of a mesh that lie in the plane, and the others. */
function splitFaces(mesh: Mesh, isIn: InPlane): { readonly inPlane: Mesh; readonly others: Mesh } {
  const { positions, triangles } = mesh
  const inPlane: number[] = []
  const others: number[] = []
  for (let k = 0; k < triangles.length; k += 3) {
    const [i, j, l] = [triangles[k]!, triangles[k + 1]!, triangles[k + 2]!]
    const lies = [i, j, l].every((v) => isIn(vertex(positions, v)))
    ;(lies ? inPlane : others).push(i, j, l)
  }
  return {
    inPlane: { positions, triangles: Uint32Array.from(inPlane) },
    others: { positions, triangles: Uint32Array.from(others) },
  }
}

/** Points of the meshes' faces that lie in the plane. */
function pointsIn(meshes: readonly Mesh[], isIn: InPlane): readonly Vec3[] {
  return meshes.flatMap(({ positions, triangles }) =>
    [...new Set(triangles)].map((v) => vertex(positions, v)).filter(isIn),
  )
}

/** The mesh with those of `points` that fall inside one of its edges in the plane made corners of it. */
function withPointsInEdges(mesh: Mesh, points: readonly Vec3[], isIn: InPlane): Mesh {
  const positions = [...mesh.positions]
  const triangles = [...mesh.triangles]
  const corners = new Set<string>()
  const edges: number[] = []
  for (let h = 0; h < triangles.length; h++) {
    const a = vertex(mesh.positions, triangles[h]!)
    if (!isIn(a)) continue
    corners.add(a.join())
    if (isIn(vertex(mesh.positions, triangles[next(h)]!))) edges.push(h)
  }
  for (const p of points) {
    if (corners.has(p.join())) continue
    const h = edges.find((e) => isInside(p, vertex(positions, triangles[e]!), vertex(positions, triangles[next(e)]!)))
    if (h === undefined) continue
    corners.add(p.join())
    const fresh = positions.length / 3
    positions.push(...p)
    // Triangle (a, b, c) with p between a and b becomes (a, p, c) and (p, b, c).
    const [b, c] = [triangles[next(h)]!, triangles[next(next(h))]!]
    triangles[next(h)] = fresh
    edges.push(triangles.length)
    triangles.push(fresh, b, c)
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

const next = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1)
const vertex = (positions: ArrayLike<number>, v: number): Vec3 => [
  positions[3 * v]!,
  positions[3 * v + 1]!,
  positions[3 * v + 2]!,
]

function isInside(p: Vec3, a: Vec3, b: Vec3): boolean {
  const ab = sub(b, a)
  const ap = sub(p, a)
  const t = dot(ap, ab) / dot(ab, ab)
  if (!(t > 0 && t < 1)) return false
  const off = sub(ap, [t * ab[0], t * ab[1], t * ab[2]])
  return dot(off, off) < 1e-14
}

function together(meshes: readonly Mesh[]): Mesh {
  const positions = new Float64Array(meshes.reduce((sum, m) => sum + m.positions.length, 0))
  const triangles = new Uint32Array(meshes.reduce((sum, m) => sum + m.triangles.length, 0))
  let vertices = 0
  let corners = 0
  for (const mesh of meshes) {
    positions.set(mesh.positions, 3 * vertices)
    for (const v of mesh.triangles) triangles[corners++] = v + vertices
    vertices += mesh.positions.length / 3
  }
  return weld({ positions, triangles }).mesh
}
