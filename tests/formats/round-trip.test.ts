import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { weld } from '../../src/geometry/weld.ts'
import { expectOk } from '../near.ts'

/** Welded random meshes with coordinates of any finite size below the reader's bound. */
const meshes = (coordinate: fc.Arbitrary<number>): fc.Arbitrary<Mesh> =>
  fc
    .tuple(fc.array(coordinate, { minLength: 9, maxLength: 90 }), fc.array(fc.nat(), { minLength: 3, maxLength: 120 }))
    .map(([c, n]) => {
      const vertices = Math.floor(c.length / 3)
      const corners = n.slice(0, 3 * Math.floor(n.length / 3)).map((i) => i % vertices)
      return weld({ positions: Float64Array.from(c.slice(0, 3 * vertices)), triangles: Uint32Array.from(corners) }).mesh
    })

const doubles = fc.double({ min: -1e59, max: 1e59, noNaN: true })
const floats = fc.float({ noNaN: true, noDefaultInfinity: true })

/** The corners of every triangle in order, which is all that a file of loose triangles keeps. */
const corners = ({ positions, triangles }: Mesh): number[][] =>
  Array.from(triangles, (v) => [...positions.subarray(3 * v, 3 * v + 3)])

describe('what is written is read back', () => {
  it('bit for bit through double PLY', () => {
    fc.assert(
      fc.property(meshes(doubles), (mesh) => {
        expect(expectOk(readMesh(writePly(mesh, { precision: 'double' }), 'a.ply')).mesh).toEqual(mesh)
      }),
    )
  })

  it('bit for bit through float PLY when coordinates are floats', () => {
    fc.assert(
      fc.property(meshes(floats), (mesh) => {
        expect(expectOk(readMesh(writePly(mesh, { precision: 'float' }), 'a.ply')).mesh).toEqual(mesh)
      }),
    )
  })

  it('corner for corner through STL when coordinates are floats', () => {
    fc.assert(
      fc.property(meshes(floats), (mesh) => {
        const file = expectOk(readMesh(writeStl(mesh), 'a.stl'))
        expect(corners(file.mesh)).toEqual(corners(mesh))
        expect(file.mesh.positions.length).toBe(mesh.positions.length)
      }),
    )
  })

  it('within half a unit of the last float digit otherwise', () => {
    const mesh = {
      positions: Float64Array.of(0.1, 300.123456789, -1e-3, 1, 2, 3, 4, 5, 6.7),
      triangles: Uint32Array.of(0, 1, 2),
    }
    const read = expectOk(readMesh(writeStl(mesh), 'a.stl')).mesh.positions
    expect([...read]).toEqual([...mesh.positions].map(Math.fround))
  })

  it('with comments, whose line breaks cannot break the header', () => {
    const mesh = { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) }
    const bytes = writePly(mesh, { precision: 'float', comments: ['one\nend_header\r\ntwo'] })
    expect(expectOk(readMesh(bytes, 'a.ply')).comments).toEqual(['one end_header two'])
  })
})

describe('binary STL as written', () => {
  const mesh = { positions: Float64Array.of(0, 0, 0, 2, 0, 0, 0, 2, 0), triangles: Uint32Array.of(0, 1, 2) }

  it('has 84 + 50 n bytes, n at byte 80, and the right-hand unit normal', () => {
    const bytes = writeStl(mesh)
    const view = new DataView(bytes.buffer)
    expect([bytes.length, view.getUint32(80, true)]).toEqual([134, 1])
    expect([84, 88, 92].map((at) => view.getFloat32(at, true))).toEqual([0, 0, 1])
  })

  it('never begins with "solid" and has no byte outside of ASCII in its header', () => {
    const head = Buffer.from(writeStl(mesh, ' Solid knee · überprüft').subarray(0, 80)).toString('latin1')
    expect(head).toMatch(/^STL {2}Solid knee \? \?berpr\?ft\0+$/)
  })
})
