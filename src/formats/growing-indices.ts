/** A list of vertex numbers that grows as a file is read. */
export class GrowingIndices {
  length = 0
  private store: Uint32Array

  constructor(expected = 3072) {
    this.store = new Uint32Array(Math.max(48, expected))
  }

  push(value: number): void {
    if (this.length === this.store.length) {
      const wider = new Uint32Array(2 * this.store.length)
      wider.set(this.store)
      this.store = wider
    }
    this.store[this.length++] = value
  }

  /** The values so far; the list must not be pushed to afterwards. */
  values(): Uint32Array {
    return this.length === this.store.length ? this.store : this.store.slice(0, this.length)
  }
}
