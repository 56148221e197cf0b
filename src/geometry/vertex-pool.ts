import type { Mesh } from './mesh.ts'
import type { Plane } from './plane.ts'
import { float64Scratch, int8Scratch, int32Scratch, uint8Scratch } from './scratch.ts'
import { snapDistance } from './snap.ts'
import { dot, type Vec3 } from './vec.ts'

/** Where vertices are to a plane, by vertex number; vertices that were not asked for count as in it. */
export interface Distances {
  /** Signed distance; of meaning only off the plane. */
  readonly mm: Float64Array
  /** 1, 0 or −1. */
  readonly side: Int8Array
  /** Gives the memory back; the distances may not be looked at afterwards. */
  release(): void
}

/**
 * A mesh's vertices and the points that cuts add to them, under one numbering, so that parts of one bone share their
 * borders.
 */
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
    if (this.copies.size === 0) return vertex
    let at = vertex
    for (let of = this.copies.get(at); of !== undefined; of = this.copies.get(at)) at = of
    return at
  }

  /** Distance from a plane below which a vertex lies in it, mm. */
  snapDistance(plane: Plane): number {
    return snapDistance(this.reachMm, plane)
  }

  /** Signed distance of the vertices that the triangles use, mm; what rounding cannot tell from zero is zero. */
  distances(plane: Plane, triangles: Int32Array): Distances {
    const [nx, ny, nz] = plane.normal
    const offset = dot(plane.normal, plane.point)
    const snap = this.snapDistance(plane)
    const count = this.count
    const mm = float64Scratch.lend(count)
    const side = int8Scratch.lend(count)
    side.fill(0, 0, count)
    const { base, baseCount, added } = this
    const at = (vertex: number): void => {
      const source = vertex < baseCount ? base : added
      const k = 3 * (vertex < baseCount ? vertex : vertex - baseCount)
      const s = nx * source[k]! + ny * source[k + 1]! + nz * source[k + 2]! - offset
      if (s > snap) {
        mm[vertex] = s
        side[vertex] = 1
      } else if (s < -snap) {
        mm[vertex] = s
        side[vertex] = -1
      }
    }
    if (triangles.length > 2 * count) {
      for (let vertex = 0; vertex < count; vertex++) at(vertex)
    } else {
      // A small part of a large mesh; a vertex in the plane is reckoned again, which costs nothing worth avoiding.
      for (let k = 0; k < triangles.length; k++) if (side[triangles[k]!] === 0) at(triangles[k]!)
    }
    return {
      mm,
      side,
      release: () => {
        float64Scratch.giveBack(mm)
        int8Scratch.giveBack(side)
      },
    }
  }

  /** A mesh of the listed triangles (pool numbers) with only the vertices they use, in the pool's order. */
  compact(list: Int32Array): Mesh {
    const { base, baseCount, added, count } = this
    const used = uint8Scratch.lend(count)
    used.fill(0, 0, count)
    for (let k = 0; k < list.length; k++) used[list[k]!] = 1
    const number = int32Scratch.lend(count)
    let total = 0
    for (let vertex = 0; vertex < count; vertex++) {
      number[vertex] = total
      total += used[vertex]!
    }
    const positions = new Float64Array(3 * total)
    for (let vertex = 0, k = 0; vertex < count; vertex++) {
      if (used[vertex] === 0) continue
      const source = vertex < baseCount ? base : added
      const from = 3 * (vertex < baseCount ? vertex : vertex - baseCount)
      positions[k++] = source[from]!
      positions[k++] = source[from + 1]!
      positions[k++] = source[from + 2]!
    }
    const triangles = new Uint32Array(list.length)
    for (let k = 0; k < list.length; k++) triangles[k] = number[list[k]!]!
    uint8Scratch.giveBack(used)
    int32Scratch.giveBack(number)
    return { positions, triangles }
  }
}
