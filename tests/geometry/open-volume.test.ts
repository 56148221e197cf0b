import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { type BoneMesh, makeBone } from '../../src/geometry/bone.ts'
import { clip } from '../../src/geometry/clip.ts'
import { convexHull } from '../../src/geometry/convex-hull.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { area, boundingBox, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { boundedHalfSpace, boundedVolume, openBorders, resectionBound } from '../../src/geometry/open-volume.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import type { Vec3 } from '../../src/geometry/vec.ts'
import { boneLike, icosphere, randomDirection } from '../fixtures/shapes.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const bone = boneLike(12_000, 8)
const box = boundingBox(bone)
const keep = (mesh: Mesh, test: (t: number) => boolean): Mesh => {
  const kept = Array.from({ length: mesh.triangles.length / 3 }, (_, t) => test(t))
  return { positions: mesh.positions, triangles: mesh.triangles.filter((_, i) => kept[Math.floor(i / 3)]) }
}
const corner = (mesh: Mesh, i: number): Vec3 => {
  const v = 3 * mesh.triangles[i]!
  return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!]
}
const within = (fraction: number, axis: 0 | 1 | 2) => box.min[axis] + fraction * (box.max[axis] - box.min[axis])
const somePlane = (seed: number): Plane => {
  const random = seededRandom(seed)
  return { point: [within(random(), 0), within(random(), 1), within(random(), 2)], normal: randomDirection(seed) }
}
const boneOf = (mesh: Mesh): BoneMesh => expectOk(makeBone(mesh))

describe('the volume of an open bone', () => {
  it('is exact, with no bound, for a closed one', () => {
    expect(boundedVolume(expectOk(openBorders(bone)))).toEqual({ volumeMm3: volume(bone), boundMm3: 0 })
  })

  it('is exact to rounding, with no bound to speak of, when a flat truncation is open', () => {
    const plane: Plane = { point: [0, within(0.4, 1), 0], normal: [0, 1, 0] }
    const { kept } = expectOk(clip(bone, plane))
    const open = keep(
      kept,
      (t) => ![0, 1, 2].every((k) => Math.abs(corner(kept, 3 * t + k)[1] - plane.point[1]) < 1e-9),
    )
    expect(meshHealth(open).orientation).toBe('open')
    const { volumeMm3, boundMm3 } = boundedVolume(expectOk(openBorders(open)))
    expectNear(volumeMm3, volume(kept), { rel: 1e-12, because: 'the patch lies in the plane of the cut' })
    expect(boundMm3).toBeLessThan(1e-6)
  })

  it('holds the true volume within its bound, for any surface inside the hulls and any plane', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (seed) => {
        const { open, whole } = withHoles(seed)
        const borders = expectOk(openBorders(open))
        const total = boundedVolume(borders)
        expect(total.boundMm3).toBeGreaterThan(0)
        expect(Math.abs(total.volumeMm3 - volume(whole))).toBeLessThanOrEqual(total.boundMm3 * (1 + 1e-9))
        const openBone = boneOf(open)
        const wholeBone = boneOf(whole)
        for (let k = 0; k < 10; k++) {
          const plane = somePlane(seed + k)
          const { volumeMm3, boundMm3 } = boundedHalfSpace(openBone, borders, plane)
          const truth = halfSpace(wholeBone.tree, plane).volumeMm3
          expect(Math.abs(volumeMm3 - truth)).toBeLessThanOrEqual(boundMm3 * (1 + 1e-9) + 1e-9 * volume(whole))
        }
      }),
      { numRuns: 25 },
    )
  })

  it('has no bound where all holes are on the kept side, and the number is then exact', () => {
    const open = keep(bone, (t) => corner(bone, 3 * t)[1] < within(0.7, 1) || t % 40 !== 0)
    const borders = expectOk(openBorders(open))
    const plane: Plane = { point: [0, within(0.5, 1), 0], normal: [0, 1, 0] }
    const { volumeMm3, boundMm3 } = boundedHalfSpace(boneOf(open), borders, plane)
    expect(boundMm3).toBe(0)
    expectNear(volumeMm3, halfSpace(boneOf(bone).tree, plane).volumeMm3, { rel: 1e-12, because: 'the same flux' })
  })

  it('is bounded for several cuts within a block as well', () => {
    const { open, whole } = withHoles(3)
    const borders = expectOk(openBorders(open))
    const planes = [1, 2, 3].map(somePlane)
    const block: Plane = { point: [0, within(0.6, 1), 0], normal: [0, -1, 0] }
    const measured = convexResection(boneOf(borders.capped).tree, planes, block).totalMm3
    const truth = convexResection(boneOf(whole).tree, planes, block).totalMm3
    const bound = resectionBound(borders, planes, block)
    expect(Math.abs(measured - truth)).toBeLessThanOrEqual(bound * (1 + 1e-9) + 1e-9 * volume(whole))
  })

  it('is withheld where faces disagree about the side that is out', () => {
    const triangles = bone.triangles.slice()
    triangles.set([triangles[1]!, triangles[0]!], 0)
    expectFailure(openBorders({ positions: bone.positions, triangles }), 'mesh/inconsistent')
  })

  it('of the published femur with holes holds the volume of the closed bone of the same source', () => {
    const read = (...parts: string[]) =>
      expectOk(readMesh(new Uint8Array(readFileSync(sharedPath('bones', ...parts))), parts.at(-1)!)).mesh
    const { volumeMm3, boundMm3 } = boundedVolume(expectOk(openBorders(read('defects', 'femur_left_holes.ply'))))
    const closed = volume(read('hra', 'femur_left.ply'))
    expect(closed).toBeGreaterThan(volumeMm3 - boundMm3)
    expect(closed).toBeLessThan(volumeMm3 + boundMm3)
  })
})

describe('the convex hull', () => {
  it('of a box of random points holds them all, is closed, and has the volume found by Monte Carlo', () => {
    const random = seededRandom(4)
    const points = Array.from({ length: 300 }, (): Vec3 => [10 * random(), 20 * random(), 5 * random()])
    const hull = convexHull(points)!
    expect(meshHealth(hull)).toMatchObject({ closed: true, orientation: 'outward', pieces: 1 })
    const isIn = (p: Vec3) => facesOf(hull).every((f) => f(p) <= 1e-8)
    expect(points.every(isIn)).toBe(true)
    const tries = 100_000
    let inside = 0
    for (let i = 0; i < tries; i++) if (isIn([10 * random(), 20 * random(), 5 * random()])) inside++
    expectNear(volume(hull), (1000 * inside) / tries, {
      rel: 0.006,
      because: 'about three deviations of 100,000 draws',
    })
  })

  it('of a sphere is the sphere', () => {
    const sphere = icosphere(10, 3)
    const points = Array.from(
      { length: sphere.positions.length / 3 },
      (_, v) => [...sphere.positions.subarray(3 * v, 3 * v + 3)] as unknown as Vec3,
    )
    const hull = convexHull(points)!
    expectNear(volume(hull), volume(sphere), { rel: 1e-12, because: 'an icosphere is convex' })
    expectNear(area(hull), area(sphere), { rel: 1e-12, because: 'an icosphere is convex' })
  })

  it('of a cube with points on its faces and edges is the cube', () => {
    const grid = [0, 0.25, 0.5, 0.75, 1]
    const points = grid.flatMap((x) => grid.flatMap((y) => grid.map((z): Vec3 => [x, y, z])))
    expectNear(volume(convexHull(points)!), 1, { rel: 1e-12, because: 'exact corners' })
  })

  it('of flat, straight, single or no points is none', () => {
    const flat = Array.from({ length: 50 }, (_, i): Vec3 => [Math.cos(i), Math.sin(i), 3 * Math.cos(i) + 1])
    for (const points of [flat, flat.slice(0, 3), [flat[0]!, flat[0]!, flat[0]!, flat[0]!, flat[0]!], []]) {
      expect(convexHull(points)).toBeNull()
    }
  })
})

/** Signed distances to the planes of the faces, positive outside. */
function facesOf(hull: Mesh): ((p: Vec3) => number)[] {
  return Array.from({ length: hull.triangles.length / 3 }, (_, t) => {
    const [a, b, c] = [corner(hull, 3 * t), corner(hull, 3 * t + 1), corner(hull, 3 * t + 2)]
    const u = b.map((x, k) => x - a[k]!) as unknown as Vec3
    const v = c.map((x, k) => x - a[k]!) as unknown as Vec3
    const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
    const size = Math.hypot(...n)
    return (p: Vec3) => (n[0] * (p[0] - a[0]) + n[1] * (p[1] - a[1]) + n[2] * (p[2] - a[2])) / size
  })
}

/** The bone with patches of triangles missing, and a closed one whose surface there is a cone to a random point of each border's hull. */
function withHoles(seed: number): { open: Mesh; whole: Mesh } {
  const random = seededRandom(seed)
  const centres = Array.from({ length: 3 }, () => corner(bone, Math.floor(random() * bone.triangles.length)))
  const radius = 3 + 15 * random()
  const isNear = (p: Vec3) => centres.some((c) => Math.hypot(p[0] - c[0], p[1] - c[1], p[2] - c[2]) < radius)
  const open = keep(bone, (t) => !isNear(corner(bone, 3 * t)))
  const positions = [...open.positions]
  const triangles = [...open.triangles]
  for (const loop of meshHealth(open).boundaryLoops) {
    const weights = loop.vertices.map(() => (-Math.log(1 - random())) ** 3)
    const total = weights.reduce((a, b) => a + b, 0)
    const tip = [0, 1, 2].map((k) =>
      loop.vertices.reduce((sum, v, i) => sum + (weights[i]! / total) * open.positions[3 * v + k]!, 0),
    )
    const number = positions.length / 3
    positions.push(...tip)
    loop.vertices.forEach((v, i) => {
      triangles.push(loop.vertices[(i + 1) % loop.vertices.length]!, v, number)
    })
  }
  return { open, whole: { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) } }
}
