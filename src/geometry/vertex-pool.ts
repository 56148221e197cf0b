import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { snapDistance } from './snap.ts'
import { dot, type Vec3 } from './vec.ts'

/** A mesh's vertices and the points that cuts add to them, under one numbering, so that parts of one bone share their borders. */
export class VertexPool {
  private readonly added: number[] = []
  private readonly copies = new Map<number, number>()
  private readonly base: Float64Array
  /** Number of the first added point. */
  readonly baseCount: number
  private readonly reachMm: number

  constructor(mesh: Mesh) {
    this.base = mesh.positions
    this.baseCount = mesh.positions.length / 3
    let reach = 0
    for (let k = 0; k < mesh.positions.length; k++) {
      const x = Math.abs(mesh.positions[k]!)
      if (x > reach) reach = x
    }
    this.reachMm = reach
  }

  get count(): number {
    return this.baseCount + this.added.length / 3
  }

  coordinate(vertex: number, axis: number): number {
    return vertex < this.baseCount ? this.base[3 * vertex + axis]! : this.added[3 * (vertex - this.baseCount) + axis]!
  }

  /** Coordinate of a vertex along a direction. */
  along(vertex: number, direction: Vec3): number {
    const source = vertex < this.baseCount ? this.base : this.added
    const k = 3 * (vertex < this.baseCount ? vertex : vertex - this.baseCount)
    return direction[0] * source[k]! + direction[1] * source[k + 1]! + direction[2] * source[k + 2]!
  }

  /** Adds the point a fraction `t` of the way from vertex `from` to vertex `to`. */
  addBetween(from: number, to: number, t: number): number {
    for (let axis = 0; axis < 3; axis++) {
      const a = this.coordinate(from, axis)
      this.added.push(a + t * (this.coordinate(to, axis) - a))
    }
    return this.count - 1
  }

  /** Adds another vertex at the same place. */
  addCopy(vertex: number): number {
    this.copies.set(this.count, this.original(vertex))
    for (let axis = 0; axis < 3; axis++) this.added.push(this.coordinate(vertex, axis))
    return this.count - 1
  }

  /** Declares that a vertex is at the same place as another one and stands for it. */
  declareCopy(vertex: number, of: number): void {
    const original = this.original(of)
    if (original !== vertex) this.copies.set(vertex, original)
  }

  /** The vertex of which this one is a copy; itself when it is none. */
  original(vertex: number): number {
    let at = vertex
    for (let of = this.copies.get(at); of !== undefined; of = this.copies.get(at)) at = of
    return at
  }

  /** Distance from a plane below which a vertex lies in it, mm. */
  snapDistance(plane: Plane): number {
    return snapDistance(this.reachMm, plane)
  }

  /** Signed distance of every vertex, mm; what rounding cannot tell from zero is zero. */
  distances(plane: Plane): Float64Array {
    const [nx, ny, nz] = plane.normal
    const offset = dot(plane.normal, plane.point)
    const snap = this.snapDistance(plane)
    const out = new Float64Array(this.count)
    const base = this.base
    for (let i = 0, k = 0; i < this.baseCount; i++, k += 3) {
      const s = nx * base[k]! + ny * base[k + 1]! + nz * base[k + 2]! - offset
      out[i] = s <= snap && s >= -snap ? 0 : s
    }
    for (let i = this.baseCount; i < out.length; i++) {
      const s = this.along(i, plane.normal) - offset
      out[i] = s <= snap && s >= -snap ? 0 : s
    }
    return out
  }

  /** A mesh of the listed triangles (pool numbers) with only the vertices they use, in order of first use. */
  compact(list: Int32Array): Mesh {
    const number = new Int32Array(this.count)
    const triangles = new Uint32Array(list.length)
    const used = new Int32Array(Math.min(this.count, list.length))
    let total = 0
    for (let k = 0; k < list.length; k++) {
      const vertex = list[k]!
      let n = number[vertex]!
      if (n === 0) {
        used[total++] = vertex
        n = total
        number[vertex] = n
      }
      triangles[k] = n - 1
    }
    const positions = new Float64Array(3 * total)
    for (let i = 0; i < total; i++) {
      const vertex = used[i]!
      const source = vertex < this.baseCount ? this.base : this.added
      const k = 3 * (vertex < this.baseCount ? vertex : vertex - this.baseCount)
      positions[3 * i] = source[k]!
      positions[3 * i + 1] = source[k + 1]!
      positions[3 * i + 2] = source[k + 2]!
    }
    return { positions, triangles }
  }
}
