/**
 * Gives equal points equal numbers: a hash table over the bits of three doubles, with −0 taken as 0. Points are kept
 * in the order in which they first came. Finite coordinates only.
 */
export class VertexTable {
  count = 0
  private points: Float64Array
  private slots: Int32Array
  private readonly key = new Float64Array(3)
  private readonly keyWords = new Uint32Array(this.key.buffer)

  /** `expected`: how many different points are likely; only a guess, the table grows. */
  constructor(expected = 1024) {
    const capacity = Math.max(16, expected)
    this.points = new Float64Array(3 * capacity)
    this.slots = new Int32Array(powerOfTwoAbove(2 * capacity)).fill(-1)
  }

  /** The number of this point. */
  add(x: number, y: number, z: number): number {
    const { key, points } = this
    key[0] = x + 0
    key[1] = y + 0
    key[2] = z + 0
    const slots = this.slots
    const mask = slots.length - 1
    let slot = this.hash() & mask
    for (;;) {
      const found = slots[slot]!
      if (found < 0) break
      if (points[3 * found] === key[0] && points[3 * found + 1] === key[1] && points[3 * found + 2] === key[2]) {
        return found
      }
      slot = (slot + 1) & mask
    }
    slots[slot] = this.count
    return this.append()
  }

  /** The number of this point if it has one, −1 otherwise. */
  find(x: number, y: number, z: number): number {
    const { key, points, slots } = this
    key[0] = x + 0
    key[1] = y + 0
    key[2] = z + 0
    const mask = slots.length - 1
    for (let slot = this.hash() & mask; ; slot = (slot + 1) & mask) {
      const found = slots[slot]!
      if (found < 0) return -1
      if (points[3 * found] === key[0] && points[3 * found + 1] === key[1] && points[3 * found + 2] === key[2]) {
        return found
      }
    }
  }

  /** The points so far, 3 × count. */
  positions(): Float64Array {
    return this.points.slice(0, 3 * this.count)
  }

  private append(): number {
    const number = this.count++
    if (3 * this.count > this.points.length) {
      const wider = new Float64Array(2 * this.points.length)
      wider.set(this.points)
      this.points = wider
    }
    this.points.set(this.key, 3 * number)
    if (2 * this.count > this.slots.length) this.rehash()
    return number
  }

  private rehash(): void {
    const slots = new Int32Array(2 * this.slots.length).fill(-1)
    const mask = slots.length - 1
    for (let i = 0; i < this.count; i++) {
      this.key[0] = this.points[3 * i]!
      this.key[1] = this.points[3 * i + 1]!
      this.key[2] = this.points[3 * i + 2]!
      let slot = this.hash() & mask
      while (slots[slot]! >= 0) slot = (slot + 1) & mask
      slots[slot] = i
    }
    this.slots = slots
  }

  private hash(): number {
    const w = this.keyWords
    let h = mix(w[0]! ^ Math.imul(w[1]!, 0x9e3779b1))
    h = mix(h ^ w[2]! ^ Math.imul(w[3]!, 0x85ebca77))
    return mix(h ^ w[4]! ^ Math.imul(w[5]!, 0xc2b2ae3d)) >>> 0
  }
}

export function powerOfTwoAbove(n: number): number {
  let size = 16
  while (size < n) size *= 2
  return size
}

/** Spreads every bit of a 32-bit word over all the others. */
export function mix(word: number): number {
  let h = word ^ (word >>> 16)
  h = Math.imul(h, 0x7feb352d)
  h ^= h >>> 15
  h = Math.imul(h, 0x846ca68b)
  return h ^ (h >>> 16)
}
