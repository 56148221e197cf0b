import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { meshHealth } from '../../src/geometry/health.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { selfCrossings } from '../../src/geometry/overlaps.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { boneLike, box, icosphere, joined, randomRigid } from '../fixtures/shapes.ts'

const count = (mesh: Mesh) => selfCrossings(buildTree(mesh), 1e6).pairs.length

describe('a surface that runs through itself', () => {
  it('is none of the sound ones, in any position', () => {
    for (const mesh of [icosphere(10, 3), boneLike(8000, 2), box([0, 0, 0], [1, 2, 3])]) {
      expect(count(mesh)).toBe(0)
      expect(count(mapMesh(mesh, randomRigid(9)))).toBe(0)
    }
  })

  it('is found where two spheres overlap, and only the triangles near the circle they share', () => {
    const two = joined(icosphere(10, 3), icosphere(10, 3, [12, 0.3, 0.7]))
    const tree = buildTree(two)
    const { pairs } = selfCrossings(tree, 1e6)
    expect(pairs.length).toBeGreaterThan(30)
    for (const t of pairs.flat()) {
      const x = [0, 1, 2].map((k) => tree.mesh.positions[3 * tree.mesh.triangles[3 * t + k]!]!)
      expect(Math.min(...x)).toBeLessThan(9)
      expect(Math.max(...x)).toBeGreaterThan(3)
    }
  })

  it('is not where solids touch in a face, an edge or a corner', () => {
    for (const offset of [
      [1, 0, 0],
      [1, 1, 0],
      [1, 1, 1],
    ] as const) {
      const [x, y, z] = offset
      expect(count(joined(box([0, 0, 0], [1, 1, 1]), box([x, y, z], [x + 1, y + 1, z + 1])))).toBe(0)
    }
  })

  it('is found by the tree exactly where plain comparison of all pairs finds it', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 90, maxLength: 360 }), (c) => {
        const corners = Math.floor(c.length / 9) * 3
        const mesh: Mesh = {
          positions: Float64Array.from(c.slice(0, 3 * corners)),
          triangles: Uint32Array.from({ length: corners }, (_, i) => i),
        }
        const tree = buildTree(mesh)
        const found = selfCrossings(tree, 1e6).pairs.map(([a, b]) => [Math.min(a, b), Math.max(a, b)].join(' '))
        const single = (i: number): Mesh => ({
          positions: mesh.positions,
          triangles: tree.mesh.triangles.slice(3 * i, 3 * i + 3),
        })
        const expected: string[] = []
        for (let i = 0; i < corners / 3; i++) {
          for (let j = i + 1; j < corners / 3; j++) {
            const pair = {
              positions: mesh.positions,
              triangles: Uint32Array.of(...single(i).triangles, ...single(j).triangles),
            }
            if (count(pair) > 0) expected.push(`${i} ${j}`)
          }
        }
        expect(found.sort()).toEqual(expected.sort())
      }),
      { numRuns: 30 },
    )
  })

  it('is reported up to a limit', () => {
    const two = buildTree(joined(icosphere(10, 3), icosphere(10, 3, [12, 0.3, 0.7])))
    expect([selfCrossings(two, 5).pairs.length, selfCrossings(two, 5).more]).toEqual([5, true])
  })
})

describe('a shell inside another', () => {
  it('is told when it is wound outward too, so that its volume counts twice', () => {
    const inner = icosphere(3, 2)
    expect(meshHealth(joined(icosphere(10, 3), inner)).doubledShells).toBe(1)
    const cavity = { positions: inner.positions, triangles: inner.triangles.toReversed() }
    expect(meshHealth(joined(icosphere(10, 3), cavity)).doubledShells).toBe(0)
    expect(meshHealth(joined(icosphere(10, 3), icosphere(3, 2, [20, 0, 0]))).doubledShells).toBe(0)
  })
})
