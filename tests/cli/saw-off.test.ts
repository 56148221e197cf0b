import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import type { JobContext } from '../../src/engine/contract.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { sawOffCsv } from '../../src/report/chances.ts'
import { bonesOf } from '../assess/shared-bones.ts'
import { expectFailure, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-saw-off-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const coarse = [
  ['other', 'femur_right_coarse.ply'],
  ['other', 'tibia_right_coarse.ply'],
] as const
const bones = [
  '--femur',
  sharedPath('bones', ...coarse[0]),
  '--tibia',
  sharedPath('bones', ...coarse[1]),
  '--draws',
  '300',
] as const

/** The engine's shelf with both bones, and a case that names them. */
function keyed() {
  const reference = (letter: string) => ({ sha256: letter.repeat(64), name: letter, unitFactor: 1, repairs: [] })
  const [femur, tibia] = [reference('f'), reference('a')]
  const made = bonesOf(...coarse)
  const shelf = new Map([
    [meshKey(femur), made.femur],
    [meshKey(tibia), made.tibia],
  ])
  return { document: { ...newCase, meshes: { femur, tibia } }, shelf }
}

describe('floorline saw-off', () => {
  it('writes the same bytes as the window’s own job of the same case, and follows the entered SDs', async () => {
    const out = join(folder, 'chances.csv')
    const { code, out: text } = await record('saw-off', ...bones, '--set', 'saw.angleSdDeg=0.5', '--out', out)
    expect(code).toBe(0)
    expect(text).toContain('cut angles 0.5° and depth 0.5 mm')
    expect(text).toContain('not a medical device')
    const progress: number[] = []
    const { document, shelf } = keyed()
    const halved = { ...document, saw: { ...document.saw, angleSdDeg: 0.5 } }
    const context: JobContext = {
      progress: (fraction) => progress.push(fraction),
      transfer: () => {},
      signal: new AbortController().signal,
    }
    const study = expectOk(await createHandlers(shelf)['saw-off']({ document: halved, draws: 300 }, context))
    expect(sawOffCsv(study, halved)).toBe(readFileSync(out, 'utf8'))
    expect(progress.length).toBe(12)
    expect(progress.at(-1)).toBe(1)
    // Smaller errors hold more often.
    const plain = expectOk(await createHandlers(shelf)['saw-off']({ document, draws: 300 }, context))
    expect(expectOk(study.kinematic).allSitesWithin).toBeGreaterThan(expectOk(plain.kinematic).allSitesWithin)
  })

  it('is one JSON document with seed, errors and every recipe', async () => {
    const { code, out } = await record(
      'saw-off',
      ...bones,
      '--set',
      'limits.jointLineLowDeg=70',
      '--set',
      'limits.jointLineHighDeg=71',
      '--json',
    )
    expect(code).toBe(0)
    const document = JSON.parse(out)
    expect(document).toMatchObject({ schema: 'floorline.saw-off/1', seed: 1, angleSdDeg: 1, depthSdMm: 0.5 })
    expect(Object.keys(document.recipes)).toEqual(['mechanical', 'anatomic', 'kinematic', 'restricted'])
    expect(document.recipes.kinematic.sites).toHaveLength(6)
  })

  it('stops between draws when it is cancelled, and refuses a strange number of draws', async () => {
    const { document, shelf } = keyed()
    const abort = new AbortController()
    const context: JobContext = { progress: () => abort.abort(), transfer: () => {}, signal: abort.signal }
    expectFailure(await createHandlers(shelf)['saw-off']({ document, draws: 300 }, context), 'job/cancelled')
    expect((await record('saw-off', ...bones, '--draws', '1.5')).code).toBe(2)
  })
})
