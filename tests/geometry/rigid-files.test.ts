import { describe, expect, it } from 'vitest'
import { makeLeg, randomLegParameters } from '../../demo-models/leg.ts'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import type { Plane } from '../../src/geometry/plane.ts'
import { mapPoint, mapVector, type Rigid, rotationAbout } from '../../src/geometry/rigid.ts'
import { mapMesh } from '../../src/geometry/transform.ts'
import { unit } from '../../src/geometry/vec.ts'
import { expectNear, expectOk } from '../near.ts'

const leg = makeLeg(randomLegParameters(11), { edgeMm: 2.5 })
const turned: Rigid = { rotation: rotationAbout(unit([0.3, -0.8, 0.5]), 1.234), translation: [311, -127, 902] }

function volumes(mesh: Mesh, plane: Plane): readonly [whole: number, removed: number] {
  const bone = expectOk(makeBone(mesh))
  return [bone.volumeMm3 ?? Number.NaN, halfSpace(bone.tree, plane).volumeMm3]
}

describe.each(['femur', 'tibia'] as const)('the %s of a demo leg, turned and shifted', (name) => {
  const mesh = leg[name]
  const plane: Plane = { point: expectOk(makeBone(mesh)).centroid, normal: unit([0.1, -0.2, 1]) }
  const there: Plane = { point: mapPoint(turned, plane.point), normal: mapVector(turned, plane.normal) }
  const moved = mapMesh(mesh, turned)
  const here = volumes(mesh, plane)

  it.each([
    ['in memory', moved, 1e-9, 'rounding of double coordinates'],
    ['through double PLY', reread(writePly(moved, { precision: 'double' }), 'moved.ply'), 1e-9, 'the file is exact'],
    ['through float PLY', reread(writePly(moved, { precision: 'float' }), 'moved.ply'), 2e-7, 'float coordinates'],
    ['through binary STL', reread(writeStl(moved), 'moved.stl'), 2e-7, 'float coordinates'],
  ] as const)('keeps its volume and what a plane removes %s', (_, copy, rel, because) => {
    const [whole, removed] = volumes(copy, there)
    expectNear(whole, here[0], { rel, because })
    expectNear(removed, here[1], { rel, because })
    expect(here[1]).toBeGreaterThan(0.1 * here[0])
  })
})

function reread(bytes: Uint8Array, name: string): Mesh {
  return expectOk(readMesh(bytes, name)).mesh
}
