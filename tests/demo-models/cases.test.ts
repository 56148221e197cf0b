import { createHash } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateSync } from 'node:zlib'
import { afterAll, describe, expect, it } from 'vitest'
import { demoCases } from '../../demo-models/cases.ts'
import type { LegTruth } from '../../demo-models/leg.ts'
import { crc32 } from '../../demo-models/png.ts'
import { writeCases } from '../../demo-models/write-cases.ts'
import { parseCaseText } from '../../src/casefile/schema.ts'
import { readMesh } from '../../src/formats/read.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { expectNear, expectOk } from '../near.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-demo-'))
writeCases(folder, { edgeMm: 2.5 })
afterAll(() => rmSync(folder, { recursive: true }))

const text = (id: string, file: string) => readFileSync(join(folder, id, file), 'utf8')

/** Size and opacity of an unfiltered 8-bit RGBA picture. */
function pixels(bytes: Buffer): { width: number; height: number; alpha: (x: number, y: number) => number } {
  const [width, height] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20)]
  const data = bytes.indexOf('IDAT')
  const rows = inflateSync(bytes.subarray(data + 4, data + 4 + bytes.readUInt32BE(data - 4)))
  return { width, height, alpha: (x, y) => rows[y * (1 + 4 * width) + 1 + 4 * x + 3]! }
}

describe('the picture format', () => {
  it('checks its blocks with the published check value (CRC-32 of “123456789” is CBF43926)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926)
  })
})

describe.each(demoCases)('the demo case $id', (demo) => {
  const document = expectOk(parseCaseText(text(demo.id, 'case.json')))
  const { truth } = JSON.parse(text(demo.id, 'truth.json')) as { readonly truth: LegTruth }

  it('is a case document the program reads, with its side and frame declared', () => {
    expect(document).toMatchObject({
      name: demo.title,
      side: truth.side,
      frame: 'lps',
      recipe: demo.recipe,
      wear: demo.wear,
    })
  })

  it.each(['femur', 'tibia'] as const)('refers to a closed %s by the hash of its bytes', (bone) => {
    const bytes = readFileSync(join(folder, demo.id, `${bone}.ply`))
    expect(document.meshes[bone]?.sha256).toBe(createHash('sha256').update(bytes).digest('hex'))
    const health = meshHealth(expectOk(readMesh(bytes, `${bone}.ply`)).mesh)
    expect(health).toMatchObject({ closed: true, orientation: 'outward', pieces: 1 })
  })

  it('has a picture with the knee in its middle and a transparent ground', () => {
    const bytes = readFileSync(join(folder, demo.id, 'picture.png'))
    const { width, height, alpha } = pixels(bytes)
    expect([width, height]).toEqual([450, 540])
    expect(alpha(2, 2)).toBe(0)
    expect(alpha(225, 200)).toBe(255)
  })

  it('carries a truth without gaps', () => {
    const walk = (value: unknown): void => {
      if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true)
      else if (value !== null && typeof value === 'object') for (const part of Object.values(value)) walk(part)
      else expect(typeof value).toBe('string')
    }
    walk(truth)
  })
})

describe('the three cases', () => {
  const angles = (id: string) => (JSON.parse(text(id, 'truth.json')) as { readonly truth: LegTruth }).truth.angles

  it('are listed for the start page in order', () => {
    const index = JSON.parse(readFileSync(join(folder, 'index.json'), 'utf8')) as unknown
    expect(index).toEqual(demoCases.map(({ id, title, sentence }) => ({ id, title, sentence })))
  })

  it('show an ordinary knee, a constitutional varus opened laterally by wear, and an oblique joint line in a straight limb', () => {
    expectNear(angles('heron').hkaDeg, 180, { absDeg: 2, because: 'ordinary' })
    expectNear(angles('heron').jointLineObliquityDeg, 174.5, { absDeg: 0.1, because: 'asked 87.5 + 87' })
    expect(angles('plover').arithmeticHkaDeg).toBeLessThan(-3)
    expect(angles('plover').jlcaDeg).toBeGreaterThan(2)
    expectNear(angles('curlew').arithmeticHkaDeg, 0, { absDeg: 1, because: 'the two obliquities cancel' })
    expect(angles('curlew').jointLineObliquityDeg).toBeLessThan(170)
  })
})
