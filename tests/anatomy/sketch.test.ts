import { describe, expect, test } from 'vitest'
import { sketchOf } from '../../src/anatomy/sketch.ts'
import { isClosed } from '../../src/geometry/closed.ts'
import { area, volume } from '../../src/geometry/measure.ts'
import { boneLike } from '../fixtures/shapes.ts'
import { expectNear } from '../near.ts'

describe('the sketch of a surface', () => {
  test('is the surface itself where that has few triangles', () => {
    const few = boneLike(20_000, 7)
    expect(sketchOf(few)).toBe(few)
  })

  test('has a fraction of the triangles, the same size, and no holes', () => {
    const fine = boneLike(400_000, 7)
    const sketch = sketchOf(fine)
    expect(sketch.triangles.length).toBeLessThan(fine.triangles.length / 4)
    // A mean of corners lies inside a round surface by at most cell²/(8 · radius): 0.06 mm on a shaft of 10 mm.
    expectNear(volume(sketch), volume(fine), { rel: 0.01, because: 'the mean of corners within 2 mm' })
    expectNear(area(sketch), area(fine), { rel: 0.03, because: 'the mean of corners within 2 mm' })
    expect(boundaryEdges(sketch.triangles)).toBe(0)
    expect(isClosed(fine)).toBe(true)
  })
})

/** Edges that are run along more often one way than the other. */
function boundaryEdges(triangles: Uint32Array): number {
  const net = new Map<string, number>()
  for (let k = 0; k < triangles.length; k++) {
    const a = triangles[k]!
    const b = triangles[k % 3 === 2 ? k - 2 : k + 1]!
    const key = a < b ? `${a} ${b}` : `${b} ${a}`
    net.set(key, (net.get(key) ?? 0) + (a < b ? 1 : -1))
  }
  return [...net.values()].filter((n) => n !== 0).length
}
