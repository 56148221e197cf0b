import { readFileSync } from 'node:fs'
import { beforeAll, describe, expect, test } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { type BoneMesh, makeBone } from '../../src/geometry/bone.ts'
import { clip } from '../../src/geometry/clip.ts'
import { unmatchedEdges } from '../../src/geometry/closed.ts'
import { halfSpace, halfSpaceByFullPass } from '../../src/geometry/half-space.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { convexResection } from '../../src/geometry/resection.ts'
import { section } from '../../src/geometry/section.ts'
import { resectionSolids } from '../../src/geometry/solids.ts'
import { addScaled, cross, dot, length, sub, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { randomDirection } from '../fixtures/shapes.ts'
import { positiveSide, type SolidLibrary, solidLibrary, solidOf } from '../fixtures/solids.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

/**
 * Whole closed bones of several sources (BodyParts3D; 3D Reference Organ for Knee; pymskt; icp-proposal), each in its
 * own frame.
 */
const names = [
  'bp3d/femur_right.stl',
  'bp3d/tibia_right.stl',
  'hra/femur_left.ply',
  'hra/femur_right.ply',
  'hra/tibia_right.ply',
  'mri/distal_femur_right_2.ply',
  'other/femur_right_upside_down.stl',
  'other/femur_right_coarse.ply',
  'other/tibia_right_coarse.ply',
]

let library: SolidLibrary
beforeAll(async () => {
  library = await solidLibrary()
})

describe.each(names)('%s', (name) => {
  let bone: BoneMesh
  let long: Vec3
  let end: Vec3
  beforeAll(() => {
    const file = expectOk(readMesh(readFileSync(sharedPath('bones', ...name.split('/'))), name))
    // The oracle takes float32; double coordinates of a text file are rounded for both.
    const mesh = { positions: Float64Array.from(file.mesh.positions, Math.fround), triangles: file.mesh.triangles }
    bone = expectOk(makeBone(mesh))
    const size = sub(bone.box.max, bone.box.min)
    const axis = size.indexOf(Math.max(...size))
    long = [0, 1, 2].map((k) => (k === axis ? 1 : 0)) as unknown as Vec3
    end = bone.centroid.map((c, k) => (k === axis ? bone.box.min[k]! : c)) as unknown as Vec3
  })

  const vertexAt = (i: number): Vec3 => {
    const p = bone.mesh.positions
    const v = (i * 7919) % (p.length / 3)
    return [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]
  }

  /** Planes across, oblique, through one vertex and through three. */
  const planes = (): Plane[] => {
    const list: Plane[] = []
    for (let k = 0; k < 8; k++) {
      list.push({ point: addScaled(end, long, 6 + 5 * k), normal: unit(addScaled(long, randomDirection(k), 0.4)) })
      list.push({ point: vertexAt(k), normal: randomDirection(100 + k) })
      const [a, b, c] = [vertexAt(3 * k), vertexAt(3 * k + 1), vertexAt(3 * k + 2)]
      const n = cross(sub(b, a), sub(c, a))
      if (length(n) > 1) list.push({ point: a, normal: unit(n) })
    }
    return list
  }

  test('is closed, and the tree agrees with one pass and with manifold-3d', () => {
    expect(bone.closed).toBe(true)
    const whole = bone.volumeMm3!
    const solid = solidOf(library, bone.mesh)
    expectNear(whole, solid.volume(), { rel: 1e-9, because: 'both reckon in double' })
    for (const plane of planes()) {
      const fast = halfSpace(bone.tree, plane)
      expectNear(fast.volumeMm3, halfSpaceByFullPass(bone.mesh, plane).volumeMm3, {
        abs: 1e-12 * whole,
        because: 'issue 2',
      })
      expectNear(whole - fast.volumeMm3, positiveSide(solid, plane).volume(), { abs: 1e-9 * whole, because: 'issue 2' })
      expectNear(section(bone.tree, plane).areaMm2, fast.areaMm2, {
        abs: 1e-7,
        because: 'outline and flux give one area',
      })
    }
  })

  test('cut in two by any plane gives two closed solids that lose nothing', () => {
    const whole = bone.volumeMm3!
    for (const plane of planes()) {
      const { kept, removed } = expectOk(clip(bone.mesh, plane))
      expect(unmatchedEdges(kept) + unmatchedEdges(removed)).toBe(0)
      expectNear(volume(kept) + volume(removed), whole, { rel: 1e-9, because: 'issue 2: conservation' })
      expectNear(volume(removed), halfSpace(bone.tree, plane).volumeMm3, { abs: 1e-9 * whole, because: 'issue 2' })
    }
  })

  test('five cuts in a block: closed bone and pieces, volumes as the flux and as manifold-3d say', () => {
    const side = unit(cross(long, randomDirection(3)))
    const across = cross(long, side)
    const at = (mm: number, s: number, n: Vec3): Plane => ({
      point: addScaled(addScaled(end, long, mm), side, s),
      normal: unit(n),
    })
    const tilt = addScaled(long, across, 0.06)
    const cuts = [
      at(9, 0, tilt),
      at(30, 14, addScaled(side, long, -0.1).map((v) => -v) as unknown as Vec3),
      at(30, -14, side),
      at(9, -10, addScaled(side, long, 1)),
      at(9, 10, addScaled(long, side, -1)),
    ]
    const block: Plane = { point: addScaled(end, long, 60), normal: [-long[0], -long[1], -long[2]] }
    expect(dot(block.normal, long)).toBe(-1)
    const { removedMm3, totalMm3 } = convexResection(bone.tree, cuts, block)
    const { kept, pieces } = expectOk(resectionSolids(bone.mesh, cuts, block))
    const whole = bone.volumeMm3!
    for (const part of [kept, ...pieces]) expect(unmatchedEdges(part.mesh)).toBe(0)
    pieces.forEach((piece, k) => {
      expectNear(volume(piece.mesh), removedMm3[k]!, { abs: 1e-9 * whole, because: 'two ways to one volume' })
    })
    expectNear(volume(kept.mesh) + totalMm3, whole, { rel: 1e-9, because: 'conservation' })
    let left = positiveSide(solidOf(library, bone.mesh), block)
    cuts.forEach((plane, k) => {
      const next = positiveSide(left, plane)
      expectNear(removedMm3[k]!, left.volume() - next.volume(), { abs: 1e-9 * whole, because: 'issue 3' })
      left = next
    })
    expect(totalMm3).toBeGreaterThan(0)
  })
})
