import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { VertexTable } from '../../src/geometry/vertex-table.ts'
import { weld } from '../../src/geometry/weld.ts'
import { boneLike, box } from '../fixtures/shapes.ts'

/** Every corner a vertex of its own. */
function loose({ positions, triangles }: Mesh): Mesh {
  return {
    positions: Float64Array.from(Array.from(triangles).flatMap((v) => [...positions.subarray(3 * v, 3 * v + 3)])),
    triangles: triangles.map((_, i) => i),
  }
}

describe('welding', () => {
  it('gives back a mesh that was taken apart', () => {
    for (const mesh of [box([0, 0, 0], [1, 2, 3]), boneLike(5000, 1)]) {
      const joined = weld(loose(mesh)).mesh
      expect(joined.positions.length).toBe(mesh.positions.length)
      expect(loose(joined)).toEqual(loose(mesh))
    }
  })

  it('changes nothing the second time', () => {
    const once = weld(loose(boneLike(2000, 2))).mesh
    expect(weld(once)).toEqual({ mesh: once, droppedTriangles: 0, unusedVertices: 0 })
  })

  it('takes −0 for 0, and no other two numbers for one', () => {
    const positions = Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0, -0, -0, -0, 1 + 2 ** -52, 0, 0, 1, 1, 1)
    const { mesh } = weld({ positions, triangles: Uint32Array.of(0, 1, 2, 3, 4, 5) })
    expect([...mesh.triangles]).toEqual([0, 1, 2, 0, 3, 4])
    expect(mesh.positions.some((c) => Object.is(c, -0))).toBe(false)
  })

  it('drops triangles that repeat a corner, and vertices that nothing uses', () => {
    const positions = Float64Array.of(9, 9, 9, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 0)
    const { mesh, droppedTriangles, unusedVertices } = weld({ positions, triangles: Uint32Array.of(1, 2, 3, 1, 4, 2) })
    expect([droppedTriangles, unusedVertices, mesh.positions.length / 3]).toEqual([1, 1, 3])
    expect([...mesh.triangles]).toEqual([0, 1, 2])
  })

  it('of nothing gives nothing', () => {
    const none = { positions: new Float64Array(0), triangles: new Uint32Array(0) }
    expect(weld(none).mesh).toEqual(none)
  })
})

describe('the vertex table', () => {
  it('numbers points like a map of their text, however many there are and however they look', () => {
    const coordinate = fc.oneof(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.integer({ min: -3, max: 3 }))
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate, coordinate), { maxLength: 300 }), (points) => {
        const table = new VertexTable(1)
        const map = new Map<string, number>()
        for (const [x, y, z] of points) {
          const key = `${x + 0} ${y + 0} ${z + 0}`
          if (!map.has(key)) map.set(key, map.size)
          expect(table.add(x, y, z)).toBe(map.get(key))
        }
        expect(table.positions().length).toBe(3 * map.size)
      }),
    )
  })

  it('stays fast on a grid, whose coordinates differ in few bits', () => {
    const table = new VertexTable()
    const start = performance.now()
    for (let i = 0; i < 60; i++)
      for (let j = 0; j < 60; j++) for (let k = 0; k < 60; k++) table.add(i, j * 64, k / 1024)
    expect(table.count).toBe(216_000)
    // A poor hash makes this quadratic: minutes, not milliseconds.
    expect(performance.now() - start).toBeLessThan(5000)
  })
})
