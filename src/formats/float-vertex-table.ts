import { mix, powerOfTwoAbove } from '../geometry/vertex-table.ts'

/**
 * The vertex table for coordinates that came as 32-bit floats: it works on their bits, which are equal exactly when
 * the numbers are (once −0 is 0), and takes half the memory. Finite coordinates only.
 */
export class FloatVertexTable {
  count = 0
  private words: Uint32Array
  private slots: Int32Array

  constructor(expected: number) {
    const capacity = Math.max(16, expected)
    this.words = new Uint32Array(3 * capacity)
    this.slots = new Int32Array(powerOfTwoAbove(2 * capacity)).fill(-1)
  }

  /** The number of the point with these float bits. */
  add(x: number, y: number, z: number): number {
    // Unsigned zero for the bit pattern of −0.
    const a = x === 0x80000000 ? 0 : x
    const b = y === 0x80000000 ? 0 : y
    const c = z === 0x80000000 ? 0 : z
    const { words, slots } = this
    const mask = slots.length - 1
    let slot = hash(a, b, c) & mask
    for (;;) {
      const found = slots[slot]!
      if (found < 0) break
      const at = 3 * found
      if (words[at] === a && words[at + 1] === b && words[at + 2] === c) return found
      slot = (slot + 1) & mask
    }
    const number = this.count++
    slots[slot] = number
    if (3 * this.count > words.length) this.widen()
    const at = 3 * number
    this.words[at] = a
    this.words[at + 1] = b
    this.words[at + 2] = c
    if (3 * this.count > 2 * slots.length) this.rehash()
    return number
  }

  /** The points so far as doubles, 3 × count. */
  positions(): Float64Array {
    return new Float64Array(new Float32Array(this.words.buffer, 0, 3 * this.count))
  }

  private widen(): void {
    const wider = new Uint32Array(2 * this.words.length)
    wider.set(this.words)
    this.words = wider
  }

  private rehash(): void {
    const slots = new Int32Array(2 * this.slots.length).fill(-1)
    const mask = slots.length - 1
    const words = this.words
    for (let i = 0; i < this.count; i++) {
      let slot = hash(words[3 * i]!, words[3 * i + 1]!, words[3 * i + 2]!) & mask
      while (slots[slot]! >= 0) slot = (slot + 1) & mask
      slots[slot] = i
    }
    this.slots = slots
  }
}

function hash(a: number, b: number, c: number): number {
  return mix(
    Math.imul(a, 0x9e3779b1) ^
      Math.imul((b << 15) | (b >>> 17), 0x85ebca77) ^
      Math.imul((c << 7) | (c >>> 25), 0xc2b2ae3d),
  )
}
