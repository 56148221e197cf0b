import { int32Scratch, uint8Scratch } from './scratch.ts'

/** Triangles over a vertex pool, each with a tag that says what it is part of (0: the bone's own surface). */
export interface Surface {
  readonly triangles: Int32Array
  readonly tags: Uint8Array
  /** Gives the memory back; the surface may not be looked at afterwards. */
  release(): void
}

/** A list of tagged triangles that grows. */
export class SurfaceBuilder {
  private triangles: Int32Array<ArrayBuffer>
  private tags: Uint8Array<ArrayBuffer>
  private used = 0

  constructor(expectedTriangles: number) {
    this.triangles = int32Scratch.lend(3 * Math.max(16, expectedTriangles))
    this.tags = uint8Scratch.lend(Math.max(16, expectedTriangles))
  }

  /** Adds a triangle; one that names a vertex twice has no area and is left out. */
  add(a: number, b: number, c: number, tag: number): void {
    if (a !== b && b !== c && c !== a) this.addWhole(a, b, c, tag)
  }

  /** Adds a triangle of three different vertices. */
  addWhole(a: number, b: number, c: number, tag: number): void {
    const k = 3 * this.used
    if (this.used === this.tags.length || k + 3 > this.triangles.length) this.grow()
    this.triangles[k] = a
    this.triangles[k + 1] = b
    this.triangles[k + 2] = c
    this.tags[this.used++] = tag
  }

  finish(): Surface {
    const { triangles, tags, used } = this
    return {
      triangles: triangles.subarray(0, 3 * used),
      tags: tags.subarray(0, used),
      release: () => {
        int32Scratch.giveBack(triangles)
        uint8Scratch.giveBack(tags)
      },
    }
  }

  private grow(): void {
    const triangles = int32Scratch.lend(6 * this.used + 48)
    // Either list may be longer than what is used of it, and then longer than its successor.
    triangles.set(this.triangles.subarray(0, 3 * this.used))
    const tags = uint8Scratch.lend(2 * this.used + 16)
    tags.set(this.tags.subarray(0, this.used))
    int32Scratch.giveBack(this.triangles)
    uint8Scratch.giveBack(this.tags)
    this.triangles = triangles
    this.tags = tags
  }
}
