import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { makeBoundedBone } from '../../src/geometry/bounded-bone.ts'
import { clip } from '../../src/geometry/clip.ts'
import { isClosed } from '../../src/geometry/closed.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { printable } from '../../src/geometry/printable.ts'
import { touchingApart } from '../../src/geometry/touching-apart.ts'
import { weld } from '../../src/geometry/weld.ts'
import { box, joined } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const reread = (mesh: Mesh): Mesh => expectOk(readMesh(writeStl(mesh), 'piece.stl')).mesh

describe('a solid written in single precision and read back', () => {
  test('two cubes that share an edge only are closed again, drawn apart by next to nothing', () => {
    const heap = touchingApart(weld(joined(box([0, 0, 0], [10, 10, 10]), box([10, 10, 0], [20, 20, 10]))).mesh)
    expect(isClosed(heap)).toBe(true)
    expect(isClosed(reread(heap))).toBe(false)
    const back = reread(printable(heap))
    expect(isClosed(back)).toBe(true)
    expectNear(volume(back), 2000, { abs: 0.05, because: 'edges drawn in by less than 1e-4 mm' })
  })

  test('points nearer than single precision tells apart do not open it', () => {
    const cube = box([300, 300, 300], [310, 310, 310])
    const sliver = expectOk(clip(cube, { point: [300 + 1e-6, 0, 0], normal: [-1, 0, 0] })).kept
    expect(isClosed(sliver)).toBe(true)
    expect(isClosed(reread(printable(sliver)))).toBe(true)
  })

  test('a mesh that is not closed is only rounded', () => {
    const open = { ...box([0, 0, 0], [1, 1, 1 / 3]), triangles: box([0, 0, 0], [1, 1, 1]).triangles.slice(3) }
    expect(printable(open).positions).toEqual(open.positions.map(Math.fround))
  })
})

test('a scan with a flap and a tibia with doubled triangles have an inside, and cut pieces of them are closed', () => {
  for (const name of ['bones/mri/proximal_tibia_right_1.stl', 'bones/defects/tibia_right_nonmanifold.ply']) {
    const read = expectOk(readMesh(readFileSync(sharedPath(...name.split('/'))), name))
    const bone = expectOk(makeBoundedBone(read.mesh))
    expect(bone.volumeMm3, name).toBeGreaterThan(5e4)
    const long = [0, 1, 2].map((axis) => bone.box.max[axis]! - bone.box.min[axis]!)
    const axis = long.indexOf(Math.max(...long))
    const normal = [0, 1, 2].map((k) => (k === axis ? -1 : 0)) as unknown as readonly [number, number, number]
    const parts = expectOk(clip(bone.mesh, { point: bone.centroid, normal }))
    for (const part of [parts.kept, parts.removed]) expect(isClosed(reread(printable(part))), name).toBe(true)
  }
})
