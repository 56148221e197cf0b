import { gzipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { inspectMesh } from '../../src/formats/inspect.ts'
import { readMesh } from '../../src/formats/read.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { makeBoundedBone } from '../../src/geometry/bounded-bone.ts'
import { isClosed, unmatchedEdges } from '../../src/geometry/closed.ts'
import { matchEdges } from '../../src/geometry/edge-match.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { flipWinding, scaleMesh } from '../../src/geometry/transform.ts'
import { icosphere, joined } from '../fixtures/shapes.ts'

// Files no segmentation tool should write and some will, beside the corpus: no crash, no hang, no silent zero.

const ball = icosphere(20, 3)
const text = (s: string) => new TextEncoder().encode(s)
const together = (...parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]))
const withCount = (stl: Uint8Array, count: number) => {
  const out = stl.slice()
  new DataView(out.buffer).setUint32(80, count, true)
  return out
}
const withFloat = (stl: Uint8Array, at: number, value: number) => {
  const out = stl.slice()
  new DataView(out.buffer).setFloat32(at, value, true)
  return out
}
const turned = (mesh: Mesh): Mesh => ({ positions: mesh.positions, triangles: flipWinding(mesh.triangles) })
const ascii = (mesh: Mesh, newline: string) => {
  const lines = ['solid ball']
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    lines.push('facet normal 0 0 0', 'outer loop')
    for (const v of mesh.triangles.subarray(t, t + 3))
      lines.push(`vertex ${[...mesh.positions.subarray(3 * v, 3 * v + 3)].join(' ')}`)
    lines.push('endloop', 'endfacet')
  }
  return [...lines, 'endsolid ball', ''].join(newline)
}
const utf16 = (s: string) =>
  together(Uint8Array.of(0xff, 0xfe), ...[...s].map((c) => Uint8Array.of(c.charCodeAt(0), 0)))
const plyOf = (faces: string, body: string) =>
  text(
    `ply\nformat ascii 1.0\nelement vertex 3\nproperty double x\nproperty double y\nproperty double z\n${faces}end_header\n${body}`,
  )
const oneFace = 'element face 1\nproperty list uchar int vertex_indices\n'
const binaryList = (claimed: number) => {
  const head = text(
    'ply\nformat binary_little_endian 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\nelement face 1\nproperty list int int vertex_indices\nend_header\n',
  )
  return together(head, new Uint8Array(12), new Uint8Array(Int32Array.of(claimed, 0, 0, 0).buffer))
}
const stl = writeStl(ball)

const refused: readonly (readonly [string, string, Uint8Array, string])[] = [
  ['count above the file', 'a.stl', withCount(stl, 0xffffffff), 'format/count'],
  ['count below the file', 'a.stl', withCount(stl, 10), 'format/count'],
  ['no number', 'a.stl', withFloat(stl, 96, Number.NaN), 'format/non-finite'],
  ['infinity', 'a.stl', withFloat(stl, 96, Number.POSITIVE_INFINITY), 'format/non-finite'],
  ['half a triangle missing', 'a.stl', stl.slice(0, -25), 'format/truncated'],
  ['packed bytes', 'a.stl', gzipSync(stl), 'format/unsupported'],
  ['a web page', 'a.stl', text('<!DOCTYPE html><html>Not found</html>'), 'format/unsupported'],
  ['text of two bytes a letter', 'a.stl', utf16(ascii(icosphere(20, 0), '\n')), 'format/unsupported'],
  ['commas for points', 'a.stl', text(ascii(ball, '\n').replaceAll('.', ',')), 'format/syntax'],
  ['nothing', 'a.stl', new Uint8Array(0), 'format/empty'],
  ['a list longer than the file', 'a.ply', binaryList(2_000_000_000), 'format/truncated'],
  ['a list of less than nothing', 'a.ply', binaryList(-3), 'format/count'],
  ['a vertex that is not there', 'a.ply', plyOf(oneFace, '0 0 0\n1 0 0\n0 1 0\n3 0 1 7\n'), 'format/index'],
  ['a vertex below zero', 'a.ply', plyOf(oneFace, '0 0 0\n1 0 0\n0 1 0\n3 0 1 -1\n'), 'format/index'],
  ['a number beyond doubles', 'a.ply', plyOf(oneFace, '0 0 0\n1e400 0 0\n0 1 0\n3 0 1 2\n'), 'format/non-finite'],
  ['a number beyond reckoning', 'a.ply', plyOf(oneFace, '0 0 0\n1e300 0 0\n0 1 0\n3 0 1 2\n'), 'format/non-finite'],
]

describe('a file that cannot be meant is refused with a sentence and a place', () => {
  test.each(refused)('%s', (_, name, bytes, code) => {
    const read = readMesh(bytes, name)
    expect(read.ok ? 'read' : read.failure.code).toBe(code)
    if (!read.ok) expect(read.failure.message).toMatch(/^.{10,}[.]$/s)
    if (!read.ok) expect(read.failure.place).not.toBe(null)
  })
})

/** A strip with half a turn, closed on itself. */
function moebius(): Mesh {
  const n = 60
  const positions: number[] = []
  for (let k = 0; k < n; k++) {
    for (const side of [-8, 8]) {
      const u = (2 * Math.PI * k) / n
      const r = 30 + side * Math.cos(u / 2)
      positions.push(r * Math.cos(u), r * Math.sin(u), side * Math.sin(u / 2))
    }
  }
  const at = (k: number, side: number) => (k < n ? 2 * k + side : 1 - side)
  const triangles = Array.from({ length: n }, (_, k) => [
    [at(k, 0), at(k + 1, 0), at(k + 1, 1)],
    [at(k, 0), at(k + 1, 1), at(k, 1)],
  ]).flat(2)
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}

const inner = icosphere(10, 2)
const odd: readonly (readonly [string, Mesh, { readonly closed: boolean; readonly orientation: string }])[] = [
  [
    'one triangle',
    { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) },
    { closed: false, orientation: 'open' },
  ],
  ['a ball inside out', turned(ball), { closed: true, orientation: 'inward' }],
  ['a ball twice', joined(ball, ball), { closed: false, orientation: 'outward' }],
  ['a ball with a hollow', joined(ball, turned(inner)), { closed: true, orientation: 'outward' }],
  ['a ball in a ball, wound alike', joined(ball, inner), { closed: true, orientation: 'mixed' }],
  ['a strip with half a turn', moebius(), { closed: false, orientation: 'open' }],
  ['coordinates of 1e30', scaleMesh(ball, 1e30), { closed: true, orientation: 'outward' }],
  ['coordinates of 1e-30', scaleMesh(ball, 1e-30), { closed: true, orientation: 'outward' }],
]

describe('an odd surface is read and said to be what it is', () => {
  test.each(odd)('%s', (_, mesh, { closed, orientation }) => {
    const read = readMesh(writeStl(mesh), 'odd.stl')
    if (!read.ok) throw new Error(read.failure.message)
    const seen = inspectMesh(read.value, 'odd.stl')
    expect(seen.closed).toBe(closed)
    expect(seen.orientation === 'mixed' ? 'outward' : seen.orientation).toBe(
      orientation === 'mixed' ? 'outward' : orientation,
    )
    if (!closed) expect(seen.volumeMm3).toBe(null)
    const bone = makeBoundedBone(read.value.mesh)
    if (bone.ok && bone.value.volumeMm3 !== null) expect(Number.isFinite(bone.value.volumeMm3)).toBe(true)
    if (!closed || orientation === 'mixed') expect(seen.warnings.length).toBeGreaterThan(0)
  })

  test('a bone without area is a failure, not a zero', () => {
    const flat = { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 2, 0, 0), triangles: Uint32Array.of(0, 1, 2) }
    expect(makeBoundedBone(flat)).toMatchObject({ ok: false, failure: { code: 'mesh/no-faces' } })
  })
})

describe('very many triangles at one vertex', () => {
  const hub = (many: number): Mesh => {
    const positions = new Float64Array(3 * (many + 2))
    for (let k = 0; k <= many; k++) positions.set([Math.cos(6 * (k / many)), Math.sin(6 * (k / many)), 0], 3 * (k + 1))
    return {
      positions,
      triangles: Uint32Array.from(
        { length: 3 * many },
        (_, k) => [0, 1, 2].map((c) => (c === 0 ? 0 : (k - (k % 3)) / 3 + c))[k % 3]!,
      ),
    }
  }

  test('a fan of 100,000 and a triangle given 100,000 times are checked in seconds', () => {
    const fan = hub(100_000)
    const same = { positions: fan.positions, triangles: Uint32Array.from({ length: 300_000 }, (_, k) => k % 3) }
    const from = performance.now()
    expect(isClosed(fan)).toBe(false)
    expect(unmatchedEdges(same)).toBe(300_000)
    expect(makeBoundedBone(fan).ok).toBe(true)
    expect(performance.now() - from).toBeLessThan(20_000)
  })

  test('edges at a crowded vertex are counted as everywhere else', () => {
    const random = seededRandom(3)
    for (let round = 0; round < 20; round++) {
      const triangles = Uint32Array.from({ length: 900 }, (_, k) => (k % 3 === 0 ? 0 : 1 + Math.floor(random() * 60)))
      const positions = new Float64Array(3 * 61)
      const counts = new Map<string, number>()
      const key = (a: number, b: number) => `${a} ${b}`
      for (let h = 0; h < triangles.length; h++) {
        const k = key(triangles[h]!, triangles[h % 3 === 2 ? h - 2 : h + 1]!)
        counts.set(k, (counts.get(k) ?? 0) + 1)
      }
      let unmatched = 0
      for (const [k, many] of counts) {
        const [a, b] = k.split(' ').map(Number) as [number, number]
        if (many !== 1 || counts.get(key(b, a)) !== 1 || a === b) unmatched += many
      }
      expect(unmatchedEdges({ positions, triangles })).toBe(unmatched)
      expect(matchEdges(triangles, 61).pieces).toBeGreaterThan(0)
    }
  })
})
