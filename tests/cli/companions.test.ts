import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { readContainer, writeContainer } from '../../src/casefile/container.ts'
import { openCase } from '../../src/cli/case-source.ts'
import { findLandmarks } from '../../src/cli/landmarks.ts'
import { cutLeg } from '../cut-leg.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-companions-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const { thigh, shin, head, ankle, fibula, femurSlabs, tibiaSlabs, allSlabs } = cutLeg(folder)
const knee = ['--femur', thigh, '--tibia', shin] as const
const joined = [...knee, '--hip-mesh', head, '--ankle-mesh', ankle, '--fibula', fibula] as const

/** What the files of their own give, told once. */
const joinedBefore = record('landmarks', ...joined, '--json').then(({ out }) => JSON.parse(out))

describe('a truncated knee with its hip and ankle in files of their own', () => {
  it('withholds the limb axis without them, and tells it with them as the whole bones do', async () => {
    const without = JSON.parse((await record('landmarks', ...knee, '--json')).out)
    expect(without.angles).toMatchObject({ hkaDeg: null, ldfaDeg: null, mptaDeg: null })
    const whole = JSON.parse(
      (
        await record(
          'landmarks',
          ...['--femur', sharedPath('bones', 'bp3d', 'femur_right.stl')],
          ...['--tibia', sharedPath('bones', 'bp3d', 'tibia_right.stl'), '--json'],
        )
      ).out,
    )
    const found = await joinedBefore
    for (const name of ['hkaDeg', 'ldfaDeg', 'mptaDeg', 'arithmeticHkaDeg'])
      expectNear(found.angles[name], whole.angles[name], {
        absDeg: 0.3,
        because: 'short stumps turn the tibial frame a little',
      })
    expect(found.landmarks.hipCentre).toMatchObject({
      source: 'given',
      from: { part: 'femoral-head', file: 'hip-part.stl' },
    })
    expect(found.landmarks.malleolusLateral.from.part).toBe('fibula')
    expectNear(found.fits.femoralHead.radiusMm, 23.1, {
      absMm: 0.2,
      because: 'published to 0.1 mm; the head’s own sphere',
    })
    expect(found.warnings.filter((w: { code: string }) => w.code === 'anatomy/from-companion')).toHaveLength(3)
  })

  it('keeps them in the case, files and all, under names that tell nothing', async () => {
    const out = join(folder, 'out')
    expect((await record('plan', ...joined, '--out', out)).code).toBe(0)
    const { document, meshes } = expectOk(
      await readContainer(new Uint8Array(readFileSync(join(out, 'case.floorline')))),
    )
    expect(meshes.size).toBe(5)
    expect(document.landmarks.hipCentre!.from!.file.name).toBe('femoral-head.ply')
    const again = JSON.parse((await record('plan', join(out, 'case.floorline'), '--json')).out)
    const first = JSON.parse(readFileSync(join(out, 'findings.json'), 'utf8'))
    expect(again.landmarks).toEqual(first.landmarks)
    expect(again.run.companions.map(({ part }: { part: string }) => part)).toEqual([
      'femoral-head',
      'distal-tibia',
      'fibula',
    ])
  }, 300_000)

  it.each([
    ['slabs of each bone in one file', femurSlabs, tibiaSlabs],
    ['slabs of both bones in one file', allSlabs, allSlabs],
  ])('is told the same out of %s, and its case keeps them', async (_, thighFile, shinFile) => {
    const opened = expectOk(await openCase(undefined, { femur: thighFile, tibia: shinFile }))
    const found = expectOk(findLandmarks(opened))
    const { angles } = await joinedBefore
    for (const name of ['hkaDeg', 'ldfaDeg', 'mptaDeg'] as const)
      expectNear(found.angles[name]!, angles[name], {
        absDeg: 1e-3,
        because: 'the same surfaces, rounded once more by STL',
      })
    expect(found.landmarks.hipCentre!.from!.part).toBe('femoral-head')
    expect(found.warnings.map(({ code }) => code)).toContain('mesh/one-piece')
    // The case names one file of several parts; each bone and companion is a piece of it.
    const { document, meshes } = opened
    const written = expectOk(await writeContainer({ document, meshes }))
    const again = expectOk(await readContainer(written))
    expect(again.document).toEqual(document)
    expect(again.meshes.size).toBe(thighFile === shinFile ? 1 : 2)
    const pieces = [document.meshes.femur, document.meshes.tibia, document.landmarks.hipCentre!.from!.file]
    for (const piece of pieces) expect(piece!.repairs).toMatchObject([{ kind: 'keep-piece' }])
  })

  it('recognises each by its shape and says how surely', async () => {
    const { files } = JSON.parse((await record('inspect', head, ankle, fibula, thigh, shin, '--json')).out)
    const said = files.map((f: Record<string, unknown>) => [f['companionGuess'], f['boneGuess']])
    expect(said).toEqual([
      ['femoral-head', 'unknown'],
      ['distal-tibia', 'unknown'],
      ['fibula', 'unknown'],
      [null, 'femur'],
      [null, 'tibia'],
    ])
    for (const { confidence } of files) expect(confidence).toBeGreaterThan(0.5)
    const { files: slabs } = JSON.parse((await record('inspect', allSlabs, '--json')).out)
    const shown = slabs[0].parts.map((p: Record<string, unknown>) => p['companion'] ?? p['bone'])
    expect(shown.sort()).toEqual(['distal-tibia', 'femoral-head', 'femur', 'tibia'])
    expect((await record('inspect', head)).out).toMatch(/a femoral head without a knee’s end \(100 % sure\)/)
  })

  it('refuses what is said twice, and what is not what it is given as', async () => {
    expect((await record('landmarks', ...joined, '--hip', '1,2,3')).code).toBe(2)
    const { code, out } = await record('landmarks', ...knee, '--hip-mesh', ankle, '--json')
    expect(code).toBe(1)
    expect(JSON.parse(out).failure).toMatchObject({ code: 'anatomy/not-this-part', place: 'ankle-part.stl' })
  })
})
