/** Triangles over a vertex pool, each with a tag that says what it is part of (0: the bone's own surface). */
export interface Surface {
  readonly triangles: Int32Array
  readonly tags: Uint8Array
}

/** A list of tagged triangles that grows. */
export class SurfaceBuilder {
  private triangles: Int32Array
  private tags: Uint8Array
  private used = 0

  constructor(expectedTriangles: number) {
    this.triangles = new Int32Array(3 * Math.max(16, expectedTriangles))
    this.tags = new Uint8Array(Math.max(16, expectedTriangles))
  }

  /** Adds a triangle; one that names a vertex twice has no area and is left out. */
  add(a: number, b: number, c: number, tag: number): void {
    if (a !== b && b !== c && c !== a) this.addWhole(a, b, c, tag)
  }

  /** Adds a triangle of three different vertices. */
  addWhole(a: number, b: number, c: number, tag: number): void {
    if (this.used === this.tags.length) this.grow()
    const k = 3 * this.used
    this.triangles[k] = a
    this.triangles[k + 1] = b
    this.triangles[k + 2] = c
    this.tags[this.used++] = tag
  }

  finish(): Surface {
    return { triangles: this.triangles.subarray(0, 3 * this.used), tags: this.tags.subarray(0, this.used) }
  }

  private grow(): void {
    const triangles = new Int32Array(2 * this.triangles.length)
    triangles.set(this.triangles)
    const tags = new Uint8Array(2 * this.tags.length)
    tags.set(this.tags)
    this.triangles = triangles
    this.tags = tags
  }
}
