import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { unmatchedEdges } from '../../src/geometry/closed.ts'
import { area, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipped, type Plane } from '../../src/geometry/plane.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import { BLOCK_FACE, type ResectedSolids, resectionSolids } from '../../src/geometry/solids.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { cross, length, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { volumeInside } from '../../src/geometry/volume-inside.ts'
import { boneLike, box, icosphere } from '../fixtures/shapes.ts'
import { voxelHeap, voxelsWhere } from '../fixtures/voxels.ts'
import { expectNear, expectOk } from '../near.ts'

const facing = (x: number, y: number, z: number, point: Vec3): Plane => ({ point, normal: unit([x, y, z]) })
const fiveCuts = (tilt: number): Plane[] => [
  facing(0.02 + tilt, 1, 0.03, [0, 14, 0]),
  facing(-1, -0.09, tilt, [17, 40, 0]),
  facing(1, 0, 0.05 - tilt, [-16, 40, 0]),
  facing(1, 1, tilt, [-12, 14, 0]),
  facing(-1, 1, -tilt, [13, 14, 0]),
]

/** Solids of the cuts, checked: all closed, volumes as the flux says, cut in order, nothing lost. */
function resect(mesh: Mesh, planes: readonly Plane[], block?: Plane | readonly Plane[]): ResectedSolids {
  const solids = expectOk(resectionSolids(mesh, planes, block))
  const whole = volume(mesh)
  const flux = convexResection(buildTree(mesh), planes, block)
  for (const { mesh: part, faceOf } of [solids.kept, ...solids.pieces]) {
    expect(unmatchedEdges(part)).toBe(0)
    expect(faceOf.length).toBe(part.triangles.length / 3)
  }
  solids.pieces.forEach((piece, k) => {
    expectNear(volume(piece.mesh), flux.removedMm3[k]!, { abs: 1e-9 * whole, because: 'two ways to one volume' })
  })
  expectNear(volume(solids.kept.mesh), whole - flux.totalMm3, { abs: 1e-9 * whole, because: 'conservation' })
  return solids
}

const stepArea = (solids: ResectedSolids): number => {
  const { mesh, faceOf } = solids.kept
  const step = mesh.triangles.filter((_, k) => faceOf[Math.floor(k / 3)] === BLOCK_FACE)
  return area({ positions: mesh.positions, triangles: step })
}

describe('solids of several cuts', () => {
  const bone = boneLike(12_000, 3)
  const top = (y: number): Plane => ({ point: [0, y, 0], normal: [0, -1, 0] })

  test('five cuts below a block top clear of them leave one whole bone without a step', () => {
    const leaning = [facing(-1, 0.15, 0.02, [17, 40, 0]), facing(1, 0.15, 0.05, [-16, 40, 0])]
    const [distal, , , ...chamfers] = fiveCuts(0.03)
    const solids = resect(bone, [distal!, ...leaning, ...chamfers], top(150))
    expect(solids.pieces.every((piece) => piece.mesh.triangles.length > 0)).toBe(true)
    expect(stepArea(solids)).toBe(0)
    const faces = new Set(solids.kept.faceOf)
    expect([...faces].sort()).toEqual([0, 1, 2, 3, 4, 5])
  })

  test('a cut still in bone at the block top leaves a step there and everything stays closed', () => {
    const solids = resect(bone, fiveCuts(0.03), top(45))
    expect(stepArea(solids)).toBeGreaterThan(10)
  })

  test('any tilt and any block height', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.3, max: 0.3, noNaN: true }),
        fc.double({ min: 5, max: 120, noNaN: true }),
        fc.shuffledSubarray([0, 1, 2, 3, 4]),
        (tilt, y, order) => {
          const cuts = fiveCuts(tilt)
          resect(
            bone,
            order.map((k) => cuts[k]!),
            top(y),
          )
        },
      ),
      { numRuns: 60 },
    )
  })

  test('two block planes confine the cuts to a corner of the bone', () => {
    const side: Plane = facing(0, 0.05, -1, [0, 0, 3])
    const solids = resect(bone, [fiveCuts(0.02)[0]!, fiveCuts(0.02)[2]!], [top(60), side])
    expect(solids.pieces[0]!.mesh.triangles.length).toBeGreaterThan(0)
    expect(stepArea(solids)).toBeGreaterThan(10)
  })

  test('what two cuts take together (their removed sides’ intersection) is one cut inside the other’s block', () => {
    const flat = facing(0.1, -1, 0, [0, 20, 0])
    const upright = facing(0, 0.02, 1, [0, 0, -4])
    const solids = resect(bone, [upright], flipped(flat))
    expectNear(volume(solids.pieces[0]!.mesh), volumeInside(buildTree(bone), [flipped(flat), flipped(upright)]), {
      rel: 1e-9,
      because: 'the same set',
    })
  })

  test('equal planes given twice take nothing the second time', () => {
    const [first, second] = fiveCuts(0.1)
    const solids = resect(bone, [first!, first!, second!, first!], top(150))
    expect(solids.pieces[1]!.mesh.triangles.length).toBe(0)
    expect(solids.pieces[3]!.mesh.triangles.length).toBe(0)
  })

  test('a box cut along its own faces and through its edges', () => {
    const cube = box([0, 0, 0], [10, 10, 10])
    resect(
      cube,
      [facing(1, 0, 0, [0, 0, 0]), facing(0, 0, 1, [0, 0, 5]), facing(1, 0, 1, [0, 0, 10])],
      facing(0, -1, 0, [0, 10, 0]),
    )
    resect(cube, [facing(1, 1, 1, [0, 0, 10]), facing(1, -1, 0, [0, 0, 0])], facing(0, 0, -1, [0, 0, 5]))
  })

  test('stairs of whole-number coordinates cut several times through vertices, edges and faces', () => {
    const normal = fc.constantFrom<Vec3>(
      [1, 0, 0],
      [0, -1, 0],
      [0, 0, 1],
      [1, 1, 0],
      [1, -1, 1],
      [-1, 0, 2],
      [1, 2, -1],
    )
    const at = fc.integer({ min: 0, max: 6 })
    const plane = fc.tuple(normal, at, at, at).map(([n, x, y, z]) => facing(n[0], n[1], n[2], [x, y, z]))
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5 }), fc.array(plane, { minLength: 1, maxLength: 5 }), (steps, planes) => {
        resect(stairs(steps), planes)
      }),
      { numRuns: 250 },
    )
  })

  const heapCuts = fc.array(
    fc
      .tuple(
        fc.constantFrom<Vec3>([1, 0, 0], [0, -1, 0], [0, 0, 1], [1, 1, 0], [1, -1, 1], [-1, 0, 2], [1, 2, -1]),
        fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 3, maxLength: 3 }),
      )
      .map(([n, [x, y, z]]) => facing(n[0], n[1], n[2], [x!, y!, z!])),
    { minLength: 1, maxLength: 5 },
  )
  const heap = (seed: number): Mesh => voxelHeap(3 + (seed % 3), 0.3 + 0.1 * (seed % 5), seed)

  test('random heaps of cubes, whose cut parts touch themselves, cut again through vertices, edges and faces', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2 ** 30 }), heapCuts, (seed, planes) => {
        const mesh = heap(seed)
        if (mesh.triangles.length > 0) resect(mesh, planes)
      }),
      { numRuns: 300 },
    )
  })

  test('a hole of the second cut’s border that touches the outer loop only at copies made by the first', () => {
    resect(heap(900_000_098), [facing(1, -1, 1, [3, 4, 3]), facing(0, -1, 0, [3, 4, 0])])
  })

  test('a sphere of whole-number coordinates cut several times through its vertices', () => {
    const ball = icosphere(100, 2)
    const round: Mesh = { positions: ball.positions.map(Math.round), triangles: ball.triangles }
    const number = fc.integer({ min: 0, max: round.positions.length / 3 - 1 })
    const p = (i: number): Vec3 => [round.positions[3 * i]!, round.positions[3 * i + 1]!, round.positions[3 * i + 2]!]
    const plane = fc
      .tuple(number, number, number)
      .map(([a, b, c]) => ({ point: p(a), normal: cross(sub(p(b), p(a)), sub(p(c), p(a))) }))
      .filter((q) => length(q.normal) > 0)
      .map((q): Plane => ({ point: q.point, normal: unit(q.normal) }))
    fc.assert(
      fc.property(fc.array(plane, { minLength: 1, maxLength: 4 }), (planes) => {
        resect(round, planes)
      }),
      { numRuns: 150 },
    )
  })
})

/** A flight of steps along x, each a cube high, two cubes deep; every cube's faces are there as quads. */
const stairs = (steps: number): Mesh => voxelsWhere(6, (x, y, z) => z <= 2 && y <= Math.max(1, steps + 1 - x) && x <= 5)
