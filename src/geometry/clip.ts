import { fail, ok, type Result } from '../failure.ts'
import { fillLoops } from './cap.ts'
import { Crossings, trace } from './contour.ts'
import { EdgeTable } from './edge-table.ts'
import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { planeBasis } from './plane-basis.ts'
import { dot, scale, type Vec3 } from './vec.ts'

export interface Clipped {
  /** The positive side, capped. May have no triangles. */
  readonly kept: Mesh
  /** The negative side, capped. May have no triangles. */
  readonly removed: Mesh
}

/**
 * Cuts a closed mesh in two closed, capped solids (plane in the mesh's frame, unit normal into the kept side). Vertices nearer than rounding to the
 * plane are taken to lie in it; cut points there are those vertices themselves. A face in the plane belongs to the side
 * that has the solid. A plane that misses gives the whole on one side and a mesh without triangles on the other.
 * `cut/touches-open-boundary` when the plane crosses the border of an open mesh, for then there is no cap.
 */
export function clip(mesh: Mesh, plane: Plane): Result<Clipped> {
  const distances = snappedDistances(mesh, plane)
  const kept = clipSide(mesh, distances, plane.normal)
  if (!kept.ok) return kept
  for (let i = 0; i < distances.length; i++) distances[i] = -distances[i]!
  const removed = clipSide(mesh, distances, scale(plane.normal, -1))
  if (!removed.ok) return removed
  return ok({ kept: kept.value, removed: removed.value })
}

/** Signed distance of every vertex, mm; what rounding cannot tell from zero is zero. */
function snappedDistances(mesh: Mesh, plane: Plane): Float64Array {
  const p = mesh.positions
  const [nx, ny, nz] = plane.normal
  const offset = dot(plane.normal, plane.point)
  const out = new Float64Array(p.length / 3)
  let reach = Math.abs(offset)
  for (let i = 0, k = 0; i < out.length; i++, k += 3) {
    const x = nx * p[k]!
    const y = ny * p[k + 1]!
    const z = nz * p[k + 2]!
    const size = Math.abs(x) + Math.abs(y) + Math.abs(z)
    if (size > reach) reach = size
    out[i] = x + y + z - offset
  }
  const snap = 4e-15 * reach
  for (let i = 0; i < out.length; i++) if (Math.abs(out[i]!) <= snap) out[i] = 0
  return out
}

/** The part of the mesh at positive distance, capped. */
function clipSide(mesh: Mesh, distances: Float64Array, inward: Vec3): Result<Mesh> {
  const { triangles } = mesh
  const out: number[] = []
  const cut = new CutPoints(mesh, distances)
  const crossings = new Crossings()
  for (let k = 0; k < triangles.length; k += 3) {
    const a = triangles[k]!
    const b = triangles[k + 1]!
    const c = triangles[k + 2]!
    const inA = distances[a]! > 0
    const inB = distances[b]! > 0
    const inC = distances[c]! > 0
    if (inA && inB && inC) out.push(a, b, c)
    else if (inA || inB || inC) {
      crossings.add(a, b, c, inA, inB, inC)
      cut.addInside(out, a, b, c)
    }
  }
  const { loops, chains } = trace(crossings)
  const startOf = (piece: number): number => cut.vertex(crossings.fromA[piece]!, crossings.fromB[piece]!)
  if (chains.some((chain) => chain.length > 0)) {
    return fail(
      'cut/touches-open-boundary',
      'The cut runs through a hole of the mesh, so the cut solid has no cap there.',
      {
        hint: 'Close the hole, or move the cut away from it.',
      },
    )
  }
  const simple = loops.flatMap((pieces) => simpleLoops(pieces.map(startOf)))
  const [u, v] = planeBasis(inward)
  const caps = fillLoops(
    simple,
    (vertex) => cut.along(vertex, u),
    (vertex) => cut.along(vertex, v),
  )
  for (let k = 0; k < caps.length; k += 3) out.push(caps[k]!, caps[k + 2]!, caps[k + 1]!)
  return ok(cut.compact(out))
}

/** The points where the plane meets mesh edges, numbered after the mesh's own vertices. */
class CutPoints {
  private readonly points: number[] = []
  private readonly table = new EdgeTable(1024)
  private readonly vertexTotal: number

  constructor(
    private readonly mesh: Mesh,
    private readonly distances: Float64Array,
  ) {
    this.vertexTotal = mesh.positions.length / 3
  }

  /** The vertex where the edge from one side to the other meets the plane: an end that lies in the plane, else a new point. */
  vertex(a: number, b: number): number {
    const da = this.distances[a]!
    const db = this.distances[b]!
    if (da === 0) return a
    if (db === 0) return b
    const known = this.table.get(a, b)
    if (known >= 0) return known
    const lo = Math.min(a, b)
    const hi = Math.max(a, b)
    const t = this.distances[lo]! / (this.distances[lo]! - this.distances[hi]!)
    const p = this.mesh.positions
    for (let axis = 0; axis < 3; axis++) {
      const q = p[3 * lo + axis]!
      this.points.push(q + t * (p[3 * hi + axis]! - q))
    }
    const number = this.vertexTotal + this.points.length / 3 - 1
    this.table.set(a, b, number)
    return number
  }

  /** Appends the positive part of a crossed triangle. */
  addInside(out: number[], a: number, b: number, c: number): void {
    const inA = this.distances[a]! > 0
    const inB = this.distances[b]! > 0
    const inC = this.distances[c]! > 0
    const two = (inA ? 1 : 0) + (inB ? 1 : 0) + (inC ? 1 : 0) === 2
    // Turn the triangle so that the lone corner comes first.
    if (inB !== inA && inB !== inC) this.addTurned(out, b, c, a, two)
    else if (inC !== inA && inC !== inB) this.addTurned(out, c, a, b, two)
    else this.addTurned(out, a, b, c, two)
  }

  private addTurned(out: number[], lone: number, second: number, third: number, two: boolean): void {
    const p = this.vertex(lone, second)
    const q = this.vertex(third, lone)
    if (!two) {
      out.push(lone, p, q)
      return
    }
    out.push(p, second, third)
    if (p !== q) out.push(p, third, q)
  }

  /** Coordinate of a vertex along a direction. */
  along(vertex: number, direction: Vec3): number {
    const source = vertex < this.vertexTotal ? this.mesh.positions : this.points
    const k = 3 * (vertex < this.vertexTotal ? vertex : vertex - this.vertexTotal)
    return direction[0] * source[k]! + direction[1] * source[k + 1]! + direction[2] * source[k + 2]!
  }

  /** A mesh of the listed triangles with only the vertices they use. */
  compact(list: readonly number[]): Mesh {
    const number = new Int32Array(this.vertexTotal + this.points.length / 3).fill(-1)
    const triangles = new Uint32Array(list.length)
    const used: number[] = []
    for (let k = 0; k < list.length; k++) {
      const vertex = list[k]!
      if (number[vertex] === -1) {
        number[vertex] = used.length
        used.push(vertex)
      }
      triangles[k] = number[vertex]!
    }
    const positions = new Float64Array(3 * used.length)
    used.forEach((vertex, i) => {
      const source = vertex < this.vertexTotal ? this.mesh.positions : this.points
      const k = 3 * (vertex < this.vertexTotal ? vertex : vertex - this.vertexTotal)
      positions[3 * i] = source[k]!
      positions[3 * i + 1] = source[k + 1]!
      positions[3 * i + 2] = source[k + 2]!
    })
    return { positions, triangles }
  }
}

/** Takes a loop of vertices apart where it visits one again; what has fewer than three corners needs no cap and is left out. */
function simpleLoops(vertices: readonly number[]): number[][] {
  const loops: number[][] = []
  const path: number[] = []
  const place = new Map<number, number>()
  for (const vertex of vertices) {
    const seen = place.get(vertex)
    if (seen !== undefined) {
      const loop = path.splice(seen)
      for (const gone of loop) place.delete(gone)
      if (loop.length >= 3) loops.push(loop)
    }
    place.set(vertex, path.length)
    path.push(vertex)
  }
  if (path.length >= 3) loops.push(path)
  return loops
}
