import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import { isClosed, unmatchedEdges } from '../../src/geometry/closed.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import { area, corners, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipped, type Plane, signedDistance } from '../../src/geometry/plane.ts'
import { mapPoint, mapVector } from '../../src/geometry/rigid.ts'
import { flipWinding, mapMesh } from '../../src/geometry/transform.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { cross, length, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, box, cylinder, icosphere, joined, randomRigid, torus } from '../fixtures/shapes.ts'
import { voxelHeap } from '../fixtures/voxels.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

/** Cuts and asserts what must hold for every cut: both parts closed, nothing lost, nothing twice. */
function cutInTwo(mesh: Mesh, plane: Plane): { kept: Mesh; removed: Mesh } {
  const parts = expectOk(clip(mesh, plane))
  const whole = volume(mesh)
  for (const part of [parts.kept, parts.removed]) {
    expect(unmatchedEdges(part)).toBe(0)
    expect(duplicateTriangles(part)).toBe(0)
  }
  const tree = buildTree(mesh)
  const sectionMm2 = halfSpace(tree, plane).areaMm2
  expectNear(capArea(parts.kept, plane), sectionMm2, {
    abs: 1e-9 * area(mesh),
    because: 'the cap covers the section once',
  })
  expectNear(volume(parts.kept) + volume(parts.removed), whole, { rel: 1e-9, because: 'issue 2: conservation' })
  expectNear(volume(parts.removed), halfSpace(tree, plane).volumeMm3, { abs: 1e-9 * whole, because: 'issue 2' })
  expectNear(volume(parts.kept), halfSpace(tree, flipped(plane)).volumeMm3, { abs: 1e-9 * whole, because: 'issue 2' })
  return parts
}

/** Sum of the triangles' areas in the plane, each counted as positive. */
function capArea(mesh: Mesh, plane: Plane): number {
  let sum = 0
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const [a, b, c] = corners(mesh, t)
    if ([a, b, c].every((p) => Math.abs(signedDistance(plane, p)) < 1e-9))
      sum += length(cross(sub(b, a), sub(c, a))) / 2
  }
  return sum
}

function duplicateTriangles(mesh: Mesh): number {
  const seen = new Set<string>()
  for (let k = 0; k < mesh.triangles.length; k += 3) seen.add([...mesh.triangles.slice(k, k + 3)].sort().join())
  return mesh.triangles.length / 3 - seen.size
}

const wholeNumberNormal = fc.constantFrom<Vec3>(
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, -1],
  [1, 1, 0],
  [0, 1, -1],
  [1, 0, 1],
  [1, 1, 1],
  [-1, 1, 1],
  [1, 2, 0],
  [1, -2, 3],
  [2, 1, 2],
)

describe('cutting a solid in two', () => {
  test('a box cut across gives two boxes of exact volume and area', () => {
    const { kept, removed } = cutInTwo(box([0, 0, 0], [10, 20, 30]), { point: [0, 0, 12], normal: [0, 0, 1] })
    expectNear(volume(removed), 2400, { rel: 1e-14, because: 'whole numbers' })
    expectNear(area(kept), 2 * (200 + 10 * 18 + 20 * 18), { rel: 1e-14, because: 'whole numbers' })
  })

  test('a plane that misses leaves the mesh whole on one side and nothing on the other', () => {
    const { kept, removed } = cutInTwo(icosphere(5, 2), { point: [0, 0, -6], normal: [0, 0, 1] })
    expect(kept.triangles.length).toBe(3 * 320)
    expect(removed.triangles.length).toBe(0)
  })

  test('a plane that touches a vertex, an edge or a face leaves the mesh whole', () => {
    const cube = box([0, 0, 0], [4, 4, 4])
    for (const normal of [
      [1, 1, 1],
      [1, 1, 0],
      [1, 0, 0],
    ] as Vec3[]) {
      const { kept, removed } = cutInTwo(cube, { point: [0, 0, 0], normal: unit(normal) })
      expect(removed.triangles.length).toBe(0)
      expectNear(volume(kept), 64, { rel: 1e-12, because: 'nothing was cut' })
      const other = cutInTwo(cube, { point: [4, 4, 4], normal: unit(normal) })
      expect(other.kept.triangles.length).toBe(0)
      expectNear(volume(other.removed), 64, { rel: 1e-12, because: 'all was cut' })
    }
  })

  test('heaps of cubes cut through their vertices, edges and faces stay closed and lose nothing', () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.double({ min: 0.2, max: 0.8, noNaN: true }),
        wholeNumberNormal,
        fc.tuple(fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: 6 }), fc.integer({ min: 0, max: 6 })),
        (seed, filling, normal, point) => {
          const heap = voxelHeap(5, filling, seed)
          fc.pre(heap.triangles.length > 0)
          expect(isClosed(heap)).toBe(true)
          cutInTwo(heap, { point, normal: unit(normal) })
        },
      ),
      { numRuns: 300 },
    )
  })

  test('the same heaps turned at random, with planes through three of their vertices', () => {
    fc.assert(
      fc.property(
        fc.integer(),
        fc.integer(),
        wholeNumberNormal,
        fc.integer({ min: 1, max: 5 }),
        (seed, turn, normal, at) => {
          const map = randomRigid(turn)
          const heap = voxelHeap(5, 0.5, seed)
          fc.pre(heap.triangles.length > 0)
          cutInTwo(mapMesh(heap, map), { point: mapPoint(map, [at, at, at]), normal: mapVector(map, unit(normal)) })
        },
      ),
      { numRuns: 150 },
    )
  })

  test('a bone-like mesh cut through one, two and three of its own vertices', () => {
    const bone = boneLike(3000, 11)
    const p = (i: number): Vec3 => [bone.positions[3 * i]!, bone.positions[3 * i + 1]!, bone.positions[3 * i + 2]!]
    const vertexNumber = fc.integer({ min: 0, max: bone.positions.length / 3 - 1 })
    fc.assert(
      fc.property(vertexNumber, vertexNumber, vertexNumber, (a, b, c) => {
        const [ax, ay, az] = p(a)
        const [bx, by, bz] = p(b)
        const [cx, cy, cz] = p(c)
        const n: Vec3 = [
          (by - ay) * (cz - az) - (bz - az) * (cy - ay),
          (bz - az) * (cx - ax) - (bx - ax) * (cz - az),
          (bx - ax) * (cy - ay) - (by - ay) * (cx - ax),
        ]
        fc.pre(Math.hypot(...n) > 1e-6)
        cutInTwo(bone, { point: p(a), normal: unit(n) })
      }),
      { numRuns: 150 },
    )
  })

  test('rings, hollow shells and separate pieces keep their holes', () => {
    cutInTwo(torus(30, 8, 24, 12), { point: [0, 0, 0], normal: [0, 0, 1] })
    cutInTwo(torus(30, 8, 24, 12), { point: [0, 0, 0], normal: [1, 0, 0] })
    const hollow = joined(icosphere(20, 3), { ...icosphere(12, 3), triangles: flipWinding(icosphere(12, 3).triangles) })
    const { kept } = cutInTwo(hollow, { point: [0, 0, 1], normal: unit([0.1, 0.2, 1]) })
    expect(volume(kept)).toBeLessThan(volume(icosphere(20, 3)) / 2)
    const nested = joined(hollow, icosphere(6, 3))
    cutInTwo(nested, { point: [0, 0, 1], normal: unit([0.1, 0.2, 1]) })
  })

  test('a prism of many sides cut through its axis and along its faces', () => {
    const prism = cylinder(20, 30, 24)
    for (let k = 0; k < 24; k++) {
      const a = (Math.PI * k) / 24
      cutInTwo(prism, { point: [0, 0, 0], normal: [Math.cos(a), Math.sin(a), 0] })
    }
  })

  test('turning the plane over swaps the parts', () => {
    const plane: Plane = { point: [1, 80, 2], normal: unit([0.3, 1, -0.2]) }
    const bone = boneLike(3000, 2)
    const one = cutInTwo(bone, plane)
    const other = cutInTwo(bone, flipped(plane))
    expect(one.kept.triangles.length).toBe(other.removed.triangles.length)
    expect([...one.kept.positions].sort()).toEqual([...other.removed.positions].sort())
    expect([...one.removed.positions].sort()).toEqual([...other.kept.positions].sort())
  })

  test('an open mesh cut through its hole is refused, cut elsewhere it keeps the hole', () => {
    const bone = boneLike(3000, 2)
    const high = (vertex: number): boolean => bone.positions[3 * vertex + 1]! > 380
    const triangles = bone.triangles.filter((_, k) => {
      const t = k - (k % 3)
      return ![0, 1, 2].every((c) => high(bone.triangles[t + c]!))
    })
    const open: Mesh = { positions: bone.positions, triangles }
    expectFailure(clip(open, { point: [0, 380, 0], normal: unit([0.4, 1, 0]) }), 'cut/touches-open-boundary')
    const parts = expectOk(clip(open, { point: [0, 300, 0], normal: [0, 1, 0] }))
    expect(isClosed(parts.removed)).toBe(true)
    expect(unmatchedEdges(parts.kept)).toBe(unmatchedEdges(open))
  })
})
