import { fail } from '../failure.ts'
import { GrowingIndices } from './growing-indices.ts'

type Refusal = ReturnType<typeof fail>

/** Collects triangles from polygons and strips, checking every vertex number. */
export class PlyFaces {
  readonly corners: GrowingIndices
  /** Polygons with fewer than three corners, left out. */
  tooSmall = 0
  polygons = 0
  private readonly vertices: number
  private list: Float64Array = new Float64Array(16)
  private length = 0

  constructor(vertices: number, expectedTriangles: number) {
    this.vertices = vertices
    this.corners = new GrowingIndices(3 * expectedTriangles)
  }

  begin(): void {
    this.length = 0
  }

  add(vertex: number): void {
    if (this.length === this.list.length) {
      const wider = new Float64Array(2 * this.length)
      wider.set(this.list)
      this.list = wider
    }
    this.list[this.length++] = vertex
  }

  /** The collected list as a polygon, fanned from its first corner. `where` names its place in a refusal. */
  endPolygon(face: number, where: () => string): Refusal | null {
    const { list, length, corners } = this
    for (let i = 0; i < length; i++) {
      if (!this.isVertex(list[i]!)) return this.refuse(list[i]!, `face ${face + 1}`, where())
    }
    if (length < 3) {
      this.tooSmall++
      return null
    }
    if (length > 3) this.polygons++
    for (let i = 2; i < length; i++) {
      corners.push(list[0]!)
      corners.push(list[i - 1]!)
      corners.push(list[i]!)
    }
    return null
  }

  /** The collected list as triangle strips separated by negative numbers; every second triangle is turned over. */
  endStrips(strip: number, where: () => string): Refusal | null {
    const { list, length, corners } = this
    let start = 0
    for (let i = 0; i < length; i++) {
      const vertex = list[i]!
      if (vertex < 0 && Number.isInteger(vertex)) {
        start = i + 1
        continue
      }
      if (!this.isVertex(vertex)) return this.refuse(vertex, `strip ${strip + 1}`, where())
      if (i - start < 2) continue
      const odd = (i - start) % 2
      corners.push(list[i - 2 + odd]!)
      corners.push(list[i - 1 - odd]!)
      corners.push(vertex)
    }
    return null
  }

  private isVertex(n: number): boolean {
    return n >= 0 && n < this.vertices && Number.isInteger(n)
  }

  private refuse(vertex: number, what: string, place: string): Refusal {
    return fail(
      'format/index',
      `In ${what} stands vertex ${vertex}; the file has ${this.vertices} vertices (0 to ${this.vertices - 1}).`,
      {
        hint: 'The file is damaged or was written wrongly; export it again.',
        place: `${what}, ${place}`,
      },
    )
  }
}
