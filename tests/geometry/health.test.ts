import { describe, expect, it } from 'vitest'
import { matchEdges } from '../../src/geometry/edge-match.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipWinding } from '../../src/geometry/transform.ts'
import { boneLike, box, icosphere, joined, shuffled } from '../fixtures/shapes.ts'
import { expectNear } from '../near.ts'

const cube = box([0, 0, 0], [10, 10, 10])
const without = (mesh: Mesh, ...triangles: number[]): Mesh => ({
  positions: mesh.positions,
  triangles: mesh.triangles.filter((_, i) => !triangles.includes(Math.floor(i / 3))),
})
const turned = (mesh: Mesh): Mesh => ({ positions: mesh.positions, triangles: flipWinding(mesh.triangles) })
const withOneTurned = (mesh: Mesh, t: number): Mesh => {
  const triangles = mesh.triangles.slice()
  triangles.set([triangles[3 * t + 1]!, triangles[3 * t]!], 3 * t)
  return { positions: mesh.positions, triangles }
}

describe('the health of a mesh', () => {
  it('is good for closed outward surfaces, in any order of triangles', () => {
    for (const mesh of [cube, icosphere(5, 3), boneLike(3000, 4), shuffled(boneLike(3000, 4), 7)]) {
      expect(meshHealth(mesh)).toMatchObject({
        closed: true,
        balanced: true,
        orientation: 'outward',
        boundaryEdges: 0,
        nonManifoldEdges: 0,
        flippedEdges: 0,
        pieces: 1,
        duplicateTriangles: 0,
        degenerateTriangles: 0,
        boundaryLoops: [],
      })
    }
  })

  it('agrees with a count of edges by their text', () => {
    const mesh = joined(without(boneLike(2000, 5), 3, 4, 99), withOneTurned(icosphere(4, 2), 17))
    const uses = new Map<string, number[]>()
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      for (let k = 0; k < 3; k++) {
        const a = mesh.triangles[t + k]!
        const b = mesh.triangles[t + ((k + 1) % 3)]!
        const key = `${Math.min(a, b)} ${Math.max(a, b)}`
        uses.set(key, [...(uses.get(key) ?? []), a < b ? 1 : -1])
      }
    }
    const all = [...uses.values()]
    expect(meshHealth(mesh)).toMatchObject({
      boundaryEdges: all.filter((u) => u.length === 1).length,
      nonManifoldEdges: all.filter((u) => u.length > 2).length,
      flippedEdges: all.filter((u) => u.length === 2 && u[0] === u[1]).length,
    })
  })

  it('finds a hole: its loop, length and place', () => {
    const health = meshHealth(without(cube, 0, 1))
    expect([health.closed, health.orientation, health.boundaryEdges, health.boundaryLoops.length]).toEqual([
      false,
      'open',
      4,
      1,
    ])
    const loop = health.boundaryLoops[0]!
    expectNear(loop.lengthMm, 40, { absMm: 1e-12, because: 'four edges of 10 mm' })
    expect(loop.vertices.length).toBe(4)
  })

  it('parts loops that touch at a corner', () => {
    // Two faces of the cube that share one corner only… each its own hole.
    const sphere = icosphere(10, 2)
    const around = [...sphere.triangles.keys()].filter((i) => sphere.triangles[i] === sphere.triangles[0])
    const first = Math.floor(around[0]! / 3)
    const disjoint = around
      .map((i) => Math.floor(i / 3))
      .find((t) => {
        const mine = [0, 1, 2].map((k) => sphere.triangles[3 * t + k]!)
        return [0, 1, 2].filter((k) => mine.includes(sphere.triangles[3 * first + k]!)).length === 1
      })!
    const loops = meshHealth(without(sphere, first, disjoint)).boundaryLoops
    expect(loops.map((l) => l.vertices.length)).toEqual([3, 3])
  })

  it('finds a triangle that is turned over', () => {
    expect(meshHealth(withOneTurned(cube, 5))).toMatchObject({ closed: false, flippedEdges: 3, orientation: 'mixed' })
  })

  it('tells inward from outward, and a cavity from a mistake', () => {
    const inner = box([2, 2, 2], [4, 4, 4])
    const beside = box([20, 0, 0], [24, 4, 4])
    expect(meshHealth(turned(cube)).orientation).toBe('inward')
    expect(meshHealth(joined(cube, turned(inner))).orientation).toBe('outward')
    expect(meshHealth(turned(joined(cube, turned(inner)))).orientation).toBe('inward')
    expect(meshHealth(joined(cube, turned(beside))).orientation).toBe('mixed')
    expect(meshHealth(joined(cube, beside)).orientation).toBe('outward')
  })

  it('counts pieces by shared edges: solids that touch at a corner are two', () => {
    const touching = joined(cube, box([10, 10, 10], [20, 20, 20]))
    expect(meshHealth(touching).pieces).toBe(2)
  })

  it('knows an edge of four triangles: not closed, but a volume is defined', () => {
    const mesh: Mesh = {
      positions: new Float64Array(18),
      triangles: Uint32Array.of(0, 1, 2, 0, 2, 3, 0, 3, 1, 1, 3, 2, 0, 4, 1, 0, 5, 4, 0, 1, 5, 1, 4, 5),
    }
    for (let i = 0; i < 18; i++) mesh.positions[i] = Math.sin(7 * i)
    expect(meshHealth(mesh)).toMatchObject({
      closed: false,
      balanced: true,
      nonManifoldEdges: 1,
      boundaryEdges: 0,
      pieces: 1,
    })
  })

  it('counts every further copy of a triangle, whichever way it is wound', () => {
    const again = (t: number) => [...cube.triangles.subarray(3 * t, 3 * t + 3)]
    const triangles = Uint32Array.from([...cube.triangles, ...again(0), ...again(0).reverse(), ...again(7)])
    expect(meshHealth({ positions: cube.positions, triangles }).duplicateTriangles).toBe(3)
    expect(
      meshHealth({ positions: cube.positions, triangles: Uint32Array.of(0, 1, 2, 0, 1, 2) }).duplicateTriangles,
    ).toBe(1)
  })

  it('counts triangles without area', () => {
    const positions = Float64Array.of(0, 0, 0, 1, 0, 0, 2, 0, 0, 0, 1, 0)
    expect(meshHealth({ positions, triangles: Uint32Array.of(0, 1, 2, 0, 1, 3) }).degenerateTriangles).toBe(1)
  })

  it('of nothing is not closed', () => {
    const none = meshHealth({ positions: new Float64Array(0), triangles: new Uint32Array(0) })
    expect(none).toMatchObject({ closed: false, balanced: false, orientation: 'open', pieces: 0 })
  })

  it('takes linear time on a fan of a hundred thousand triangles about one vertex', () => {
    const n = 100_000
    const triangles = new Uint32Array(3 * n)
    for (let i = 0; i < n; i++) triangles.set([0, 1 + i, 1 + ((i + 1) % n)], 3 * i)
    const start = performance.now()
    expect(matchEdges(triangles, n + 1).boundaryEdges).toBe(n)
    expect(performance.now() - start).toBeLessThan(3000)
  })
})
