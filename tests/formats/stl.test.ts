import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { expectFailure, expectOk } from '../near.ts'

const tetrahedron: Mesh = {
  positions: Float64Array.of(0, 0, 0, 5, 0, 0, 0, 4, 0, 0, 0, 3),
  triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
}
const binary = () => writeStl(tetrahedron, 'four triangles')
const codes = (bytes: Uint8Array) => expectOk(readMesh(bytes, 'a.stl')).warnings.map((w) => w.code)
const join = (...parts: Uint8Array[]) => new Uint8Array(Buffer.concat(parts))
const text = (s: string) => new TextEncoder().encode(s)

function asciiOf(mesh: Mesh, name = 'bone'): string {
  const point = (v: number) => [0, 1, 2].map((k) => mesh.positions[3 * v + k]).join(' ')
  const facets: string[] = []
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const corners = [0, 1, 2].map((k) => `      vertex ${point(mesh.triangles[t + k]!)}`).join('\n')
    facets.push(`  facet normal 0 0 0\n    outer loop\n${corners}\n    endloop\n  endfacet`)
  }
  return `solid ${name}\n${facets.join('\n')}\nendsolid ${name}\n`
}

/** A solid is the same however its file is written: same closed tetrahedron. */
function expectTetrahedron(bytes: Uint8Array, times = 1): void {
  const file = expectOk(readMesh(bytes, 'a.stl'))
  expect(file.declaredTriangles).toBe(4 * times)
  expect(file.mesh.positions.length).toBe(12)
  if (times === 1) expect(meshHealth(file.mesh).orientation).toBe('outward')
}

describe('binary STL', () => {
  it('is told by its size when its header begins with "solid"', () => {
    const bytes = binary()
    bytes.set(text('solid facet normal 0 0 0 outer loop vertex'))
    expectTetrahedron(bytes)
    expect(expectOk(readMesh(bytes, 'a.stl')).format).toBe('STL binary')
  })

  it('is read at an odd offset of a larger buffer', () => {
    const large = new Uint8Array(binary().length + 3)
    large.set(binary(), 3)
    expectTetrahedron(large.subarray(3))
  })

  it('is read under any file name', () => {
    expect(expectOk(readMesh(binary(), 'tibia.ply')).format).toBe('STL binary')
  })

  it('does not look at stored normals and attribute bytes', () => {
    const bytes = binary()
    const view = new DataView(bytes.buffer)
    for (let t = 0; t < 4; t++) {
      for (let k = 0; k < 3; k++) view.setFloat32(84 + 50 * t + 4 * k, Number.NaN, true)
      view.setUint16(84 + 50 * t + 48, 0xffff, true)
    }
    expectTetrahedron(bytes)
  })

  it('takes −0 and 0 for the same coordinate', () => {
    const bytes = binary()
    const view = new DataView(bytes.buffer)
    for (let at = 84 + 12; at < 84 + 48; at += 4) {
      if (view.getUint32(at, true) === 0) view.setFloat32(at, -0, true)
    }
    expectTetrahedron(bytes)
  })

  it('is refused with triangle and byte when a vertex is not finite', () => {
    for (const value of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      const bytes = binary()
      new DataView(bytes.buffer).setFloat32(84 + 100 + 28, value, true)
      const read = readMesh(bytes, 'a.stl')
      expectFailure(read, 'format/non-finite')
      expect(read.ok ? '' : read.failure.place).toBe('triangle 3, byte 208')
    }
  })

  it('is refused when cut off anywhere', () => {
    const bytes = binary()
    for (let size = 84; size < bytes.length; size++) {
      const read = readMesh(bytes.subarray(0, size), 'a.stl')
      expect(read.ok ? 'ok' : read.failure.code, `${size} bytes`).toMatch(/format\/(truncated|count)/)
    }
  })

  it('is refused when its count is a lie, large, small or zero, and nothing is allocated for it', () => {
    for (const lie of [0, 1, 2, 3, 5, 1000, 0x7fffffff, 0xffffffff]) {
      const bytes = binary()
      new DataView(bytes.buffer).setUint32(80, lie, true)
      expectFailure(readMesh(bytes, 'a.stl'), 'format/count')
    }
  })

  it('is read with a warning when zeros or other bytes follow the last triangle', () => {
    expect(codes(join(binary(), new Uint8Array(100)))).toEqual(['format/trailing-bytes'])
    expect(codes(join(binary(), text('exported by hand')))).toEqual(['format/trailing-bytes'])
  })

  it('is read whole, with a warning, when several files are joined end to end', () => {
    expect(codes(join(binary(), binary(), binary()))).toContain('format/joined')
    expectTetrahedron(join(binary(), binary(), binary()), 3)
  })

  it('is refused as damaged when its bytes went through a text conversion', () => {
    const reencoded = Buffer.from(Buffer.from(binary()).toString('utf8'), 'utf8')
    const latin = Buffer.from(Buffer.from(binary()).toString('latin1'), 'utf8')
    const withFeeds = binary()
    withFeeds.set([10, 10], 84 + 12)
    const feeds = Buffer.from(Buffer.from(withFeeds).toString('latin1').replaceAll('\n', '\r\n'), 'latin1')
    for (const bytes of [reencoded, latin, feeds]) {
      const read = readMesh(new Uint8Array(bytes), 'a.stl')
      expectFailure(read, 'format/syntax')
      expect(read.ok ? '' : read.failure.message).toContain('text conversion')
    }
  })

  it('is read in reverse byte order too, with a warning', () => {
    const bytes = binary()
    const view = new DataView(bytes.buffer)
    view.setUint32(80, 4, false)
    for (let at = 84; at < bytes.length; at += 50) {
      for (let k = 0; k < 48; k += 4) view.setFloat32(at + k, view.getFloat32(at + k, true), false)
    }
    expectTetrahedron(bytes)
    expect(codes(bytes)).toEqual(['format/byte-order'])
  })

  it('with no triangles is valid and says so', () => {
    expect(codes(writeStl({ positions: new Float64Array(0), triangles: new Uint32Array(0) }))).toEqual([
      'format/no-faces',
    ])
  })

  it('leaves out triangles with a repeated corner and says how many', () => {
    const mesh = { positions: tetrahedron.positions, triangles: Uint32Array.of(...tetrahedron.triangles, 1, 1, 2) }
    const file = expectOk(readMesh(writeStl(mesh), 'a.stl'))
    expect([file.declaredTriangles, file.droppedTriangles, file.mesh.triangles.length / 3]).toEqual([5, 1, 4])
    expect(file.warnings.map((w) => w.code)).toEqual(['mesh/degenerate-dropped'])
  })
})

describe('ASCII STL', () => {
  const lines = asciiOf(tetrahedron)

  it('is read in any letter case, with any line ends and any indentation', () => {
    for (const s of [
      lines,
      lines.toUpperCase(),
      lines.replaceAll('\n', '\r\n'),
      lines.replaceAll('\n', '\r'),
      lines.replaceAll('\n', ' '),
      lines.replaceAll(/^ +/gm, '\t'),
      `\ufeff${lines}`,
      `\n\n${lines}\u001a`,
    ]) {
      expectTetrahedron(text(s))
    }
  })

  it('is read with every spelling of a number', () => {
    expectTetrahedron(text(lines.replaceAll('vertex 5 ', 'vertex +.5E+01 ')))
    expectTetrahedron(text(lines.replaceAll('vertex 5 ', 'vertex 5.000000000000000000000 ')))
    expectTetrahedron(text(lines.replaceAll('vertex 5 ', 'vertex 0.05D2 ')))
  })

  it('rounds decimals as the language itself does', () => {
    for (const s of [
      '0.1',
      '123456.789',
      '1e22',
      '1e23',
      '9007199254740993',
      '5e-324',
      '179769313486231570e19',
      '-7e-2',
    ]) {
      const one = `solid\nfacet normal 0 0 1\nouter loop\nvertex ${s} 0 0\nvertex 0 1 0\nvertex 0 0 1\nendloop\nendfacet\nendsolid`
      expect(expectOk(readMesh(text(one), 'a.stl')).mesh.positions[0]).toBe(Number(s))
    }
  })

  it('is read without endsolid, with a warning', () => {
    expect(codes(text(lines.replace(/endsolid.*\n/, '')))).toEqual(['format/missing-endsolid'])
  })

  it('is read as one surface when it holds several solids, joined with or without a line break', () => {
    expect(codes(text(lines + lines))).toContain('format/several-solids')
    expectTetrahedron(text(lines + lines), 2)
    expectTetrahedron(text(lines.trim() + lines), 2)
  })

  it('keeps the names of its solids', () => {
    expect(expectOk(readMesh(text(asciiOf(tetrahedron, 'left tibia, facet 2')), 'a.stl')).comments).toEqual([
      'left tibia, facet 2',
    ])
  })

  it('is read although normals are missing, not finite or wrong', () => {
    for (const normal of ['', 'normal', 'normal NaN NaN NaN', 'normal -nan(ind) 1.#QNAN inf', 'normal 9 9 9']) {
      expectTetrahedron(text(lines.replace('normal 0 0 0', normal)))
    }
  })

  it('accepts "end loop", "end facet", "end solid" and colour lines', () => {
    const spaced = lines
      .replaceAll('endloop', 'end loop')
      .replaceAll('endfacet', 'end facet')
      .replace('endsolid', 'end solid')
    expectTetrahedron(text(spaced.replace('  facet', '  color 0.5 0.5 0.5\n  facet')))
  })

  it('is refused with the line when a facet has not three vertices', () => {
    const read = readMesh(text(lines.replace('      vertex 0 0 0\n', '')), 'a.stl')
    expectFailure(read, 'format/syntax')
    expect(read.ok ? '' : read.failure.place).toBe('line 2')
  })

  it('is refused with the line when a coordinate is not a finite number', () => {
    for (const [word, code] of [
      ['nan', 'format/non-finite'],
      ['-inf', 'format/non-finite'],
      ['1e999', 'format/non-finite'],
      ['1,5', 'format/syntax'],
      ['five', 'format/syntax'],
      ['-', 'format/syntax'],
      ['1e', 'format/syntax'],
    ] as const) {
      const read = readMesh(text(lines.replace('vertex 5 0 0', `vertex ${word} 0 0`)), 'a.stl')
      expectFailure(read, code)
      expect(read.ok ? '' : read.failure.place).toBe('line 6')
    }
  })

  it('is never read in part: cut anywhere it is refused, or says that its end is missing', () => {
    for (let size = 5; size < lines.length - 6; size++) {
      const read = readMesh(text(lines.slice(0, size)), 'a.stl')
      const told = read.ok ? read.value.warnings.map((w) => w.code).join() : read.failure.code
      expect(told, lines.slice(Math.max(0, size - 20), size)).toMatch(/truncated|syntax|missing-endsolid/)
    }
  })
})

describe('files that are no mesh', () => {
  it.each([
    ['nothing', '', 'format/empty'],
    ['blanks', ' \n\t ', 'format/empty'],
    ['prose', 'Dear colleague, please find attached the two bones.', 'format/unknown'],
    ['prose that begins with "solid"', 'solid advice for every day', 'format/truncated'],
    ['more prose that begins so', 'solid advice\nfor every day', 'format/syntax'],
    ['a web page', '<!DOCTYPE html><html><body>Not found</body></html>', 'format/unsupported'],
    ['an OFF mesh', 'OFF\n8 6 0\n', 'format/unsupported'],
    ['an archive', 'PK\u0003\u0004\u0014', 'format/unsupported'],
    ['a pointer', 'version https://git-lfs.github.com/spec/v1\noid sha256:0\nsize 1\n', 'format/unsupported'],
    ['a few odd bytes', '\u0001\u0002\u0003', 'format/truncated'],
  ] as const)('are refused: %s', (_, content, code) => {
    const read = readMesh(text(content), 'a.stl')
    expectFailure(read, code)
    expect(read.ok ? '' : read.failure.place).toMatch(/line|byte/)
  })
})
