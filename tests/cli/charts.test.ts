import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateSync } from 'node:zlib'
import { afterAll, describe, expect, it } from 'vitest'
import { pngOfSvg } from '../../src/cli/svg-to-png.ts'
import { seriesSvg } from '../../src/report/series-svg.ts'
import { panelWidth } from '../../src/report/svg-parts.ts'
import { expectFailure } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-charts-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const at = (name: string) => join(folder, name)
const femur = sharedPath('bones', 'other', 'femur_right_coarse.ply')
const tibia = sharedPath('bones', 'other', 'tibia_right_coarse.ply')
const bones = ['--femur', femur, '--tibia', tibia] as const

/** Size and pixels of an 8-bit RGBA PNG (ISO/IEC 15948), all five filters. */
function pixelsOf(png: Uint8Array): { width: number; height: number; at: (x: number, y: number) => readonly number[] } {
  const bytes = Buffer.from(png)
  expect([...bytes.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10])
  const [width, height] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20)]
  expect([bytes[24], bytes[25]]).toEqual([8, 6])
  const parts: Buffer[] = []
  for (let k = 8; k < bytes.length; ) {
    const length = bytes.readUInt32BE(k)
    if (bytes.toString('latin1', k + 4, k + 8) === 'IDAT') parts.push(bytes.subarray(k + 8, k + 8 + length))
    k += 12 + length
  }
  const raw = inflateSync(Buffer.concat(parts))
  const stride = 4 * width
  const out = new Uint8Array(stride * height)
  for (let y = 0; y < height; y++)
    for (let k = 0; k < stride; k++) {
      const left = k >= 4 ? out[y * stride + k - 4]! : 0
      const up = y > 0 ? out[(y - 1) * stride + k]! : 0
      const corner = k >= 4 && y > 0 ? out[(y - 1) * stride + k - 4]! : 0
      const [a, b, c] = [Math.abs(up - corner), Math.abs(left - corner), Math.abs(left + up - 2 * corner)]
      const paeth = a <= b && a <= c ? left : b <= c ? up : corner
      const before = [0, left, up, (left + up) >> 1, paeth][raw[y * (stride + 1)]!]!
      out[y * stride + k] = raw[y * (stride + 1) + 1 + k]! + before
    }
  return { width, height, at: (x, y) => [...out.subarray(4 * (y * width + x), 4 * (y * width + x) + 4)] }
}

const words = (svg: string) =>
  `<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><style>text{font-family:system-ui,sans-serif;font-size:16px}</style><rect width="40" height="20" fill="#fff"/>${svg}</svg>`

describe('a chart as PNG', () => {
  it('paints shapes where they stand and words in the bundled typeface, the caution in the file', async () => {
    const png = await pngOfSvg(words('<rect x="10" y="5" width="10" height="10" fill="#ff0000"/>'), 2)
    const plain = pixelsOf(png)
    expect([plain.width, plain.height]).toEqual([80, 40])
    expect(plain.at(30, 20)).toEqual([255, 0, 0, 255])
    expect(plain.at(60, 20)).toEqual([255, 255, 255, 255])
    expect(Buffer.from(png).toString('latin1')).toContain('not a medical device')
    // A minus sign, a degree sign and a superscript are there: none of them is an empty box or nothing at all.
    for (const text of ['H', '\u2212', '\u00b0', '\u00b2', '\u2026']) {
      const inked = pixelsOf(await pngOfSvg(words(`<text x="10" y="15">${text}</text>`), 2))
      let dark = 0
      for (let y = 0; y < 40; y++) for (let x = 0; x < 80; x++) if (inked.at(x, y)[0]! < 128) dark++
      expect(dark, text).toBeGreaterThan(4)
    }
    expect(await pngOfSvg(words('<text x="4" y="15">H</text>'), 2)).toEqual(
      await pngOfSvg(words('<text x="4" y="15">H</text>'), 2),
    )
  })

  it('comes from a sweep and from a load series by the ending of its name', async () => {
    const sweep = ['--vary', 'load.bodyMassKg=60:60:20', '--output', 'loading.vertical.compressionN'] as const
    expect((await record('sweep', ...bones, ...sweep, '--chart', at('sweep.png'))).code).toBe(0)
    expect(pixelsOf(readFileSync(at('sweep.png'))).width).toBe(2 * panelWidth)
    writeFileSync(at('loads.csv'), 'time,axial_N,at_lateral_mm\n0,1000,0\n0.1,2000,-5\n0.2,0,0\n')
    const series = ['series', ...bones, '--loads', at('loads.csv'), '--chart'] as const
    expect((await record(...series, at('series.png'))).code).toBe(0)
    expect(pixelsOf(readFileSync(at('series.png'))).height).toBeGreaterThan(1000)
    expect((await record(...series, at('series.png'))).code, 'not overwritten').toBe(1)
    const none = { columns: [{ name: 'time', unit: '' }], rows: [[0]], assumptions: [] }
    expectFailure(seriesSvg(none, ['nothing']), 'case/unknown-path')
  })
})
