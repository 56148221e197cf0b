/**
 * Typed arrays for work that is over when its function returns. Fresh memory costs more than the work itself at the
 * sizes of bones, so arrays that were given back are lent again; what lies in them is left over from before.
 */
class Lender<
  T extends Int32Array<ArrayBuffer> | Uint8Array<ArrayBuffer> | Int8Array<ArrayBuffer> | Float64Array<ArrayBuffer>,
> {
  private readonly free: T[] = []
  private kept = 0

  constructor(
    private readonly make: (length: number) => T,
    private readonly mostKept: number,
  ) {}

  /** An array at least so long, with any content. */
  lend(length: number): T {
    let best = -1
    for (let k = 0; k < this.free.length; k++) {
      const n = this.free[k]!.length
      if (n >= length && n <= 8 * length + 4096 && (best < 0 || n < this.free[best]!.length)) best = k
    }
    if (best < 0) return this.make(Math.ceil(1.125 * length) + 64)
    const [found] = this.free.splice(best, 1)
    this.kept -= found!.length
    return found!
  }

  /** The array may be lent to others from now on. */
  giveBack(array: T): void {
    this.free.push(array)
    this.kept += array.length
    while (this.kept > this.mostKept) this.kept -= this.free.shift()!.length
  }
}

export const int32Scratch = new Lender((n) => new Int32Array(n), 24e6)
export const uint8Scratch = new Lender((n) => new Uint8Array(n), 16e6)
export const int8Scratch = new Lender((n) => new Int8Array(n), 4e6)
export const float64Scratch = new Lender((n) => new Float64Array(n), 4e6)
