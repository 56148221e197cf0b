import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { inspectFile } from '../../src/formats/inspect.ts'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { area, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipWinding, scaleMesh } from '../../src/geometry/transform.ts'
import { box, joined } from '../fixtures/shapes.ts'
import { expectNear } from '../near.ts'
import { sharedPath } from '../shared.ts'

const inspect = (mesh: Mesh) => inspectFile(readMesh(writePly(mesh, { precision: 'double' }), 'a.ply'), 'a.ply')
const bytesOf = (...parts: string[]) => new Uint8Array(readFileSync(sharedPath('bones', ...parts)))
const cube = box([0, 0, 0], [80, 80, 80])

describe('an inspected file', () => {
  it('has every field that the contract names but bone and side', () => {
    const promised = ['file', 'ok', 'format', 'triangles', 'vertices', 'closed', 'pieces', 'boundaryEdges']
    promised.push(
      'nonManifoldEdges',
      'orientation',
      'volumeMm3',
      'areaMm2',
      'boxMm',
      'unitGuess',
      'failure',
      'warnings',
    )
    expect(Object.keys(inspect(cube))).toEqual(expect.arrayContaining(promised))
    expect(Object.keys(inspectFile(readMesh(new Uint8Array(0), 'b'), 'b'))).toEqual(Object.keys(inspect(cube)))
  })

  it('tells a cube as it is', () => {
    expect(inspect(cube)).toMatchObject({
      ok: true,
      format: 'PLY little_endian',
      triangles: 12,
      vertices: 8,
      closed: true,
      pieces: 1,
      orientation: 'outward',
      areaMm2: 38400,
      boxMm: [
        [0, 0, 0],
        [80, 80, 80],
      ],
      unitGuess: 'mm',
      warnings: [],
    })
    expectNear(inspect(cube).volumeMm3!, 512000, { rel: 1e-15, because: 'exact corners' })
  })

  it('withholds the volume of an open surface and names what is spoilt', () => {
    const open = inspect({ positions: cube.positions, triangles: cube.triangles.slice(3) })
    expect([open.closed, open.volumeMm3, open.orientation, open.boundaryEdges]).toEqual([false, null, 'open', 3])
    expect(open.warnings.find((w) => w.code === 'mesh/open')?.spoils).toEqual(['volumeMm3'])
  })

  it('gives an inward surface its positive volume and says that it is turned', () => {
    const inward = inspect({ positions: cube.positions, triangles: flipWinding(cube.triangles) })
    expect([inward.closed, inward.orientation, inward.warnings.map((w) => w.code)]).toEqual([
      true,
      'inward',
      ['mesh/inward'],
    ])
    expectNear(inward.volumeMm3!, 512000, { rel: 1e-15, because: 'exact corners' })
  })

  it('counts pieces', () => {
    expect(inspect(joined(cube, box([100, 0, 0], [110, 10, 10]))).pieces).toBe(2)
  })

  it('says why a file failed, with nulls for what is not known', () => {
    const entry = inspectFile(readMesh(new Uint8Array(0), 'b.stl'), 'b.stl')
    expect([entry.ok, entry.triangles, entry.volumeMm3, entry.failure?.code]).toEqual([
      false,
      null,
      null,
      'format/empty',
    ])
  })

  it('measures real bones as the geometry room does', () => {
    for (const name of ['femur_right.stl', 'tibia_right.stl']) {
      const read = readMesh(bytesOf('bp3d', name), name)
      if (!read.ok) throw new Error(read.failure.message)
      const entry = inspectFile(read, name)
      expectNear(entry.volumeMm3!, volume(read.value.mesh), { rel: 1e-12, because: 'same sum in another order' })
      expectNear(entry.areaMm2!, area(read.value.mesh), { rel: 1e-12, because: 'same sum in another order' })
    }
  })

  it('tells what is wrong with the bones in ../shared/bones/defects, as their page says', () => {
    const of = (name: string) => inspectFile(readMesh(bytesOf('defects', name), name), name)
    expect(of('femur_left_holes.ply')).toMatchObject({ boundaryEdges: 120, closed: false, orientation: 'open' })
    expect(of('tibia_left_inward.stl')).toMatchObject({ closed: true, orientation: 'inward' })
    expect(of('tibia_right_nonmanifold.ply')).toMatchObject({ nonManifoldEdges: 39, duplicateTriangles: 16 })
    expect(of('tibia_subchondral_open.stl')).toMatchObject({ pieces: 2, closed: false })
  })

  it('recognises the unit of a real bone and never converts by itself', () => {
    const read = readMesh(bytesOf('bp3d', 'tibia_right.stl'), 'tibia.stl')
    if (!read.ok) throw new Error(read.failure.message)
    for (const [unit, factor] of [
      ['mm', 1],
      ['cm', 10],
      ['m', 1000],
      ['inch', 25.4],
    ] as const) {
      const scaled = inspect(scaleMesh(read.value.mesh, 1 / factor))
      expect(scaled.unitGuess).toBe(unit)
      expect(scaled.warnings.some((w) => w.code === 'unit/not-mm')).toBe(unit !== 'mm')
      expectNear(scaled.volumeMm3! * factor ** 3, volume(read.value.mesh), {
        rel: 1e-9,
        because: 'rounding of scaling',
      })
    }
  })
})
