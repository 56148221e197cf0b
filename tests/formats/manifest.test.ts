import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { inspectFile } from '../../src/formats/inspect.ts'
import { readMesh } from '../../src/formats/read.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

/**
 * Every file of the shared corpus (test suites of mikedh/trimesh, the npm package stl-models, nmwsharp/happly and
 * Fluci/ply-rs, all MIT) against its manifest: encoding, triangle count, and the geometry column, whose volumes are
 * printed to six digits.
 */

/** Where the manifest leaves a choice, what this program does and why. */
const CHOICES: ReadonlyMap<string, { readonly expect: 'reject' | number; readonly because: string }> = new Map([
  [
    'mikedh__trimesh/models/fuze_ascii.ply',
    { expect: 1000, because: 'each face stands on its own line, so undeclared columns are passed over with a warning' },
  ],
  [
    'npm__stl-models/broken/incorrectFaceCounter.bin.stl',
    { expect: 'reject', because: 'a count that promises more than the file holds may mean a cut-off file' },
  ],
  [
    'npm__stl-models/broken/missingNormal.ascii.stl',
    { expect: 4, because: 'stored normals are not used, so a missing one does no harm' },
  ],
])

interface Row {
  readonly file: string
  readonly bytes: number
  readonly variant: string
  readonly expected: string
  readonly geometry: string
}

const rows: Row[] = readFileSync(sharedPath('mesh-corpus', 'manifest.tsv'), 'utf8')
  .split('\n')
  .slice(1)
  .filter((line) => line !== '')
  .map((line) => {
    const [file = '', bytes = '', variant = '', expected = '', , geometry = ''] = line.split('\t')
    return { file, bytes: Number(bytes), variant, expected, geometry }
  })

/** Signed tetrahedra between the triangles and the mean of the vertices, one by one. */
function sumAboutMean({ positions, triangles }: Mesh): number {
  const mean = [0, 1, 2].map(
    (k) => positions.reduce((s, c, i) => (i % 3 === k ? s + c : s), 0) / (positions.length / 3),
  )
  let sum = 0
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => mean.map((m, axis) => positions[3 * triangles[t + k]! + axis]! - m))
    const [ax = 0, ay = 0, az = 0] = a!
    const [bx = 0, by = 0, bz = 0] = b!
    const [cx = 0, cy = 0, cz = 0] = c!
    sum += (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6
  }
  return sum
}

describe('the shared corpus of STL and PLY files', () => {
  it('has all its rows', () => {
    expect(rows.length).toBe(105)
  })

  describe.each(rows)('$file', (row) => {
    const bytes = new Uint8Array(readFileSync(sharedPath('mesh-corpus', row.file)))
    const read = readMesh(bytes, row.file)
    const choice = CHOICES.get(row.file)
    const expected = choice?.expect ?? (row.expected === 'reject' ? 'reject' : Number.parseInt(row.expected, 10))

    it('has the size the manifest says', () => {
      expect(bytes.length).toBe(row.bytes)
    })

    if (expected === 'reject') {
      it('is refused with code, sentence and place', () => {
        expect(read.ok).toBe(false)
        if (read.ok) return
        expect(read.failure.code).toMatch(/^format\//)
        expect(read.failure.message).toMatch(/^[A-Z].{20,}[.]$/s)
        expect(read.failure.place).toMatch(/line|byte/)
      })
      return
    }

    it(`is read as ${row.variant.split(',')[0]} with ${expected} triangles`, () => {
      const file = expectOk(read)
      expect(row.variant.startsWith(file.format)).toBe(true)
      expect(file.declaredTriangles).toBe(expected)
      const codes = file.warnings.map((w) => w.code)
      expect(codes.includes('format/no-faces')).toBe(expected === 0)
      if (row.expected.includes('warning')) expect(codes.length).toBeGreaterThan(0)
    })

    it('is reported alike by inspect', () => {
      const entry = inspectFile(read, row.file)
      expect(entry.ok).toBe(true)
      expect(entry.triangles).toBe(expected)
      if (expected > 0) expect(entry.closed).toBe(!row.expected.includes('open') && !row.geometry.startsWith('open'))
      expect(entry.volumeMm3 === null).toBe(entry.closed === false)
      expect(JSON.stringify(entry)).not.toContain('NaN')
    })

    if (row.geometry !== '') {
      it(`has the geometry "${row.geometry}"`, () => {
        const file = expectOk(read)
        const health = meshHealth(file.mesh)
        const count = (what: string) => Number(new RegExp(`(\\d+) ${what}`).exec(row.geometry)?.[1] ?? 0)
        expect({
          closed: health.closed,
          boundary: health.boundaryEdges,
          nonManifold: health.nonManifoldEdges,
          flipped: health.flippedEdges,
          repeated: file.droppedTriangles,
          zeroArea: health.degenerateTriangles,
          duplicate: health.duplicateTriangles,
        }).toEqual({
          closed: row.geometry.startsWith('closed'),
          boundary: count('boundary'),
          nonManifold: count('non-manifold'),
          flipped: count('flipped'),
          repeated: count('repeated-vertex'),
          zeroArea: count('zero-area'),
          duplicate: count('duplicate'),
        })
        const printed = Number(/volume (\S+)/.exec(row.geometry)?.[1])
        const tolerance = { rel: 6e-6, because: 'the manifest prints six significant digits' }
        // Of a surface that is not closed the manifest gives the sum about the mean of the vertices (found by trial).
        expectNear(health.closed ? volume(file.mesh) : sumAboutMean(file.mesh), printed, tolerance)
      })
    }
  })
})
