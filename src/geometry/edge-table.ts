/**
 * A map from undirected edges (two vertex numbers) to numbers, open-addressed on typed arrays; far faster than a Map
 * of keys.
 */
export class EdgeTable {
  private lo: Int32Array
  private hi: Int32Array
  private values: Int32Array
  private mask: number
  private used = 0

  /** @param expected how many edges are likely; it grows when there are more */
  constructor(expected: number) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(16, 2 * expected)))
    this.lo = new Int32Array(size).fill(-1)
    this.hi = new Int32Array(size)
    this.values = new Int32Array(size)
    this.mask = size - 1
  }

  /** The number kept for the edge, or −1. */
  get(a: number, b: number): number {
    const at = this.find(a, b)
    return this.lo[at] === -1 ? -1 : this.values[at]!
  }

  set(a: number, b: number, value: number): void {
    const at = this.find(a, b)
    if (this.lo[at] === -1) {
      this.lo[at] = Math.min(a, b)
      this.hi[at] = Math.max(a, b)
      this.used++
    }
    this.values[at] = value
    if (2 * this.used > this.mask) this.grow()
  }

  forEach(visit: (a: number, b: number, value: number) => void): void {
    for (let at = 0; at < this.lo.length; at++) {
      if (this.lo[at] !== -1) visit(this.lo[at]!, this.hi[at]!, this.values[at]!)
    }
  }

  private find(a: number, b: number): number {
    const lo = Math.min(a, b)
    const hi = Math.max(a, b)
    let at = (Math.imul(lo, 0x9e3779b1) ^ Math.imul(hi, 0x85ebca6b)) & this.mask
    at = (at ^ (at >>> 15)) & this.mask
    while (this.lo[at] !== -1 && (this.lo[at] !== lo || this.hi[at] !== hi)) at = (at + 1) & this.mask
    return at
  }

  private grow(): void {
    const { lo, hi, values } = this
    const size = 2 * lo.length
    this.lo = new Int32Array(size).fill(-1)
    this.hi = new Int32Array(size)
    this.values = new Int32Array(size)
    this.mask = size - 1
    this.used = 0
    for (let at = 0; at < lo.length; at++) if (lo[at] !== -1) this.set(lo[at]!, hi[at]!, values[at]!)
  }
}
