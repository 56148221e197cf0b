import { describe, expect, it } from 'vitest'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { centroid, volume } from '../../src/geometry/measure.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { plyBytes } from './ply-bytes.ts'

const text = (s: string) => new TextEncoder().encode(s)
const read = (s: string | Uint8Array) => readMesh(typeof s === 'string' ? text(s) : s, 'a.ply')
const codes = (s: string | Uint8Array) => expectOk(read(s)).warnings.map((w) => w.code)

/** The cube printed in the format's description: G. Turk, The PLY Polygon File Format, 1994. */
const CUBE_VERTICES = ['0 0 0', '0 0 1', '0 1 1', '0 1 0', '1 0 0', '1 0 1', '1 1 1', '1 1 0']
const CUBE_FACES = ['4 0 1 2 3', '4 7 6 5 4', '4 0 4 5 1', '4 1 5 6 2', '4 2 6 7 3', '4 3 7 4 0']

const header = (vertex: string, face: string, encoding = 'ascii') =>
  `ply\nformat ${encoding} 1.0\nelement vertex 8\n${vertex}element face 6\n${face}end_header\n`
const XYZ = 'property float x\nproperty float y\nproperty float z\n'
const LIST = 'property list uchar int vertex_index\n'
const cube = `${header(XYZ, LIST)}${[...CUBE_VERTICES, ...CUBE_FACES].join('\n')}\n`

function expectCube(bytes: string | Uint8Array): void {
  const file = expectOk(read(bytes))
  const health = meshHealth(file.mesh)
  expect(file.declaredTriangles).toBe(12)
  expect([health.closed, health.orientation, file.mesh.positions.length]).toEqual([true, 'outward', 24])
  expectNear(volume(file.mesh), 1, { abs: 1e-15, because: 'unit cube with exact corners' })
}

describe('PLY', () => {
  it('reads the cube of the format description (Turk 1994): volume 1, centroid at the middle, wound outward', () => {
    expectCube(cube)
    for (const c of centroid(expectOk(read(cube)).mesh)!) expectNear(c, 0.5, { abs: 1e-15, because: 'exact corners' })
  })

  it('reads any line ends in an ASCII file', () => {
    expectCube(cube.replaceAll('\n', '\r\n'))
    expectCube(cube.replaceAll('\n', '\r'))
    expectCube(`\ufeff${cube}`)
  })

  it('reads properties in any order, with others between them, and skips other elements', () => {
    const vertices = CUBE_VERTICES.map((v, i) => {
      const [x, y, z] = v.split(' ')
      return `255 ${z} 2 0.5 ${i} ${y} nan ${x}`
    })
    const faces = CUBE_FACES.map((f) => `7 ${f} 3 1 2 3 -1`)
    const bytes = `ply
format ascii 1.0
comment made by hand
element face 6
property uchar material
property list uint8 uint32 vertex_indices
property list ushort float texcoord
property char flag
element edge 2
property int vertex1
property int vertex2
element vertex 8
property uchar red
property double z
property list int float weights
property int16 y
property float nx
property float32 x
obj_info anything
element camera 1
property float view
end_header
${faces.join('\n')}
0 1
1 2
${vertices.join('\n')}
1.5
`
    expectCube(bytes)
    expect(expectOk(read(bytes)).comments).toEqual(['made by hand', 'anything'])
  })

  it.each(['i1', 'u1', 'i2', 'u2', 'i4', 'u4', 'f4', 'f8'] as const)(
    'reads coordinates, list lengths and vertex numbers of type %s in both byte orders',
    (type) => {
      for (const little of [true, false]) {
        const rows = {
          vertices: CUBE_VERTICES.map((v) => v.split(' ').map(Number)),
          faces: CUBE_FACES.map((f) => f.split(' ').slice(1).map(Number)),
        }
        expectCube(plyBytes(rows, { little, coordinate: type, count: type, index: type, facesFirst: type === 'i2' }))
      }
    },
  )

  it('reads a binary file whose header ends its lines with CR LF or CR, even when the data begin with a line feed', () => {
    const rows = {
      vertices: [
        [10, 0, 0],
        [1, 0, 0],
        [0, 1, 0],
      ],
      faces: [[0, 1, 2]],
    }
    for (const lineBreak of ['\n', '\r\n', '\r']) {
      const bytes = plyBytes(rows, { little: true, coordinate: 'u1', count: 'u1', index: 'u1', lineBreak })
      expect([...expectOk(read(bytes)).mesh.positions.subarray(0, 3)]).toEqual([10, 0, 0])
    }
  })

  it('fans polygons from their first corner and leaves out faces of fewer than three', () => {
    const pentagon = `ply\nformat ascii 1.0\nelement vertex 5\n${XYZ}element face 4\n${LIST}end_header\n0 0 0\n1 0 0\n2 1 0\n1 2 0\n0 1 0\n5 0 1 2 3 4\n2 0 1\n1 0\n0\n`
    const file = expectOk(read(pentagon))
    expect([...file.mesh.triangles]).toEqual([0, 1, 2, 0, 2, 3, 0, 3, 4])
    expect(file.warnings.map((w) => w.code)).toEqual(['format/small-faces'])
  })

  it('reads triangle strips, restarting at −1 and turning every second triangle', () => {
    const strip = `ply\nformat ascii 1.0\nelement vertex 6\n${XYZ}element tristrips 1\nproperty list int int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n1 1 0\n0 2 0\n1 2 0\n9 0 1 2 3 -1 2 3 4 5\n`
    const file = expectOk(read(strip))
    const health = meshHealth(file.mesh)
    expect([file.declaredTriangles, health.flippedEdges, health.boundaryEdges, health.pieces]).toEqual([4, 0, 6, 1])
  })

  it('reads numbers that wrap over lines, or several instances on one line', () => {
    expectCube(header(XYZ, LIST) + [...CUBE_VERTICES, ...CUBE_FACES].join(' ').replaceAll(' ', '\n'))
    expectCube(header(XYZ, LIST) + [...CUBE_VERTICES, ...CUBE_FACES].join(' '))
  })

  it('passes over columns that the header does not declare, with a warning', () => {
    const longer = header(XYZ, LIST) + [...CUBE_VERTICES.map((v) => `${v} 9 9 9`), ...CUBE_FACES].join('\n')
    expectCube(longer)
    expect(codes(longer)).toContain('format/undeclared-columns')
  })

  it('says so when data follow the declared ones', () => {
    expect(codes(`${cube}4 0 1 2 3\n`)).toContain('format/trailing-text')
    const binary = writePly(expectOk(read(cube)).mesh, { precision: 'float' })
    expect(codes(new Uint8Array([...binary, 0]))).toContain('format/trailing-bytes')
  })

  it('with points only is valid and says that it holds no faces', () => {
    const points = `ply\nformat ascii 1.0\nelement vertex 2\n${XYZ}end_header\n0 0 0\n1 0 0\n`
    expect(codes(points)).toContain('format/no-faces')
    expect(expectOk(read(points)).declaredVertices).toBe(2)
  })

  it('joins vertices that were doubled for colours or texture, and drops unused ones', () => {
    const doubled = cube
      .replace('element vertex 8', 'element vertex 10')
      .replace('1 1 0\n', '1 1 0\n-0 0 0\n5 5 5\n')
      .replace('4 0 4 5 1', '4 8 4 5 1')
    expectCube(doubled)
  })
})

describe('a PLY file that cannot be used is refused', () => {
  const small = (edit: (s: string) => string) => edit(cube)
  it.each([
    ['a missing format', small((s) => s.replace('format ascii 1.0\n', '')), 'format/syntax', /line/],
    ['an unknown encoding', small((s) => s.replace('ascii', 'ebcdic')), 'format/unsupported', 'line 2'],
    ['an unknown type', small((s) => s.replace('float x', 'quad x')), 'format/syntax', 'line 4'],
    [
      'an unknown word in the header',
      small((s) => s.replace('element vertex', 'elephant vertex')),
      'format/syntax',
      'line 3',
    ],
    ['a header without end', 'ply\nformat ascii 1.0\nelement vertex 8\n', 'format/truncated', /line/],
    [
      'an element declared twice',
      small((s) => s.replace('element face', 'element vertex 8\nelement face')),
      'format/syntax',
      'line 7',
    ],
    ['a property declared twice', small((s) => s.replace('float y', 'float x')), 'format/syntax', 'line 5'],
    [
      'a property before any element',
      small((s) => s.replace('element vertex 8', 'property int a')),
      'format/syntax',
      'line 3',
    ],
    ['a negative count', small((s) => s.replace('vertex 8', 'vertex -8')), 'format/count', 'line 3'],
    ['a fractional count', small((s) => s.replace('face 6', 'face 6.5')), 'format/count', 'line 7'],
    ['a huge vertex count', small((s) => s.replace('vertex 8', 'vertex 99999999999')), 'format/count', /line/],
    ['a huge face count', small((s) => s.replace('face 6', 'face 4294967295')), 'format/count', /line/],
    ['a vertex count one too small', small((s) => s.replace('vertex 8', 'vertex 7')), /count|index/, /header|line/],
    ['a count one too large', small((s) => s.replace('face 6', 'face 7')), 'format/truncated', 'line 24'],
    ['faces without vertices', small((s) => s.replace('element vertex', 'element point')), 'format/syntax', /header/],
    ['vertices without z', small((s) => s.replace('float z', 'float w')), 'format/syntax', /header/],
    [
      'faces without a list',
      small((s) => s.replace('list uchar int vertex_index', 'int a')),
      'format/syntax',
      /header/,
    ],
    ['a vertex number too large', small((s) => s.replace('4 7 6 5 4', '4 7 6 5 8')), 'format/index', /face 2, line 19/],
    ['a negative vertex number', small((s) => s.replace('4 7 6 5 4', '4 7 6 5 -4')), 'format/index', /face 2/],
    ['a fractional vertex number', small((s) => s.replace('4 7 6 5 4', '4 7 6 5.5 4')), 'format/index', /face 2/],
    ['a vertex that is not a number', small((s) => s.replace('0 1 0', '0 nan 0')), 'format/non-finite', 'line 13'],
    ['an infinite vertex', small((s) => s.replace('0 1 0', '0 -inf 0')), 'format/non-finite', 'line 13'],
    ['a word among the vertices', small((s) => s.replace('0 1 0', '0 one 0')), 'format/syntax', 'line 13'],
    ['a list that promises too much', small((s) => s.replace('4 7 6 5 4', '9 7 6 5 4')), /format/, /line/],
    [
      'a number too large to compute with',
      small((s) => s.replace('0 1 0', '0 1e200 0')),
      'format/non-finite',
      /vertex/,
    ],
  ] as const)('%s', (_, bytes, code, place) => {
    const result = read(bytes)
    expect(result.ok ? 'ok' : result.failure.code).toMatch(code)
    if (result.ok) return
    expect(result.failure.place).toMatch(place)
    expect(result.failure.message.length).toBeGreaterThan(20)
  })

  it('a binary one cut off anywhere in its data', () => {
    const rows = {
      vertices: CUBE_VERTICES.map((v) => v.split(' ').map(Number)),
      faces: CUBE_FACES.map((f) => f.split(' ').slice(1).map(Number)),
    }
    const whole = plyBytes(rows, { little: false, coordinate: 'f8', count: 'u1', index: 'i4' })
    const dataAt = Buffer.from(whole).indexOf('end_header\n') + 11
    for (let size = dataAt; size < whole.length; size++)
      expectFailure(read(whole.subarray(0, size)), 'format/truncated')
  })

  it('a binary one whose list claims a negative, fractional, infinite or huge length', () => {
    for (const [type, value] of [
      ['i1', -1],
      ['f4', 3.5],
      ['f4', Number.NaN],
      ['f8', Number.POSITIVE_INFINITY],
      ['u4', 0xffffffff],
    ] as const) {
      const rows = { vertices: [[0, 0, 0]], faces: [[]], lengths: [value] }
      const result = read(plyBytes(rows, { little: true, coordinate: 'f4', count: type, index: 'i4' }))
      expect(result.ok ? 'ok' : result.failure.code).toMatch(/format\/(count|truncated)/)
    }
  })
})
