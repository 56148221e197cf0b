import { expect, test } from 'vitest'
import { int32Scratch, uint8Scratch } from '../../src/geometry/scratch.ts'
import { SurfaceBuilder } from '../../src/geometry/surface.ts'

test('a surface grows whatever lengths its memory is lent in, and keeps every triangle', () => {
  for (const [tagLength, indexLength] of [
    [4000, 100],
    [64, 20_000],
    [4000, 20_000],
  ] as const) {
    uint8Scratch.giveBack(new Uint8Array(tagLength))
    int32Scratch.giveBack(new Int32Array(indexLength))
    const builder = new SurfaceBuilder(16)
    for (let k = 0; k < 9000; k++) builder.add(k, k + 1, k + 2, k % 7)
    const surface = builder.finish()
    expect(surface.tags).toHaveLength(9000)
    expect(surface.tags.every((tag, k) => tag === k % 7)).toBe(true)
    expect(surface.triangles.every((v, k) => v === Math.floor(k / 3) + (k % 3))).toBe(true)
    surface.release()
  }
})
