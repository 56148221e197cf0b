import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { expectNear } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-achieved-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const bones = [
  '--femur',
  sharedPath('bones', 'other', 'femur_right_coarse.ply'),
  '--tibia',
  sharedPath('bones', 'other', 'tibia_right_coarse.ply'),
] as const

describe('floorline achieved', () => {
  it('reads a cut off the bone that another plan made, by its difference from this one', async () => {
    const out = join(folder, 'plan')
    const planned = await record('plan', ...bones, '--set', 'cuts.tibia.varusDeg=3', '--json', '--out', out)
    expect(planned.code).toBe(0)
    const after = ['--after', join(out, 'tibia-kept.stl'), '--bone', 'tibia'] as const
    const other = await record('achieved', ...bones, '--set', 'cuts.tibia.varusDeg=1', ...after, '--json')
    expect(other.code).toBe(0)
    const found = JSON.parse(other.out)
    expect(found).toMatchObject({ schema: 'floorline.achieved/1', bone: 'tibia', missing: [] })
    expect(found.caution).toMatch(/not a medical device/)
    expect(found.registration.how).toBe('same-frame')
    expectNear(found.cuts[0].varusDeg, 2, { absDeg: 0.05, because: 'STL keeps single precision' })
  }, 60_000)

  it('needs the file and the bone said, and says what cannot be read', async () => {
    expect((await record('achieved', ...bones, '--bone', 'tibia')).code).toBe(2)
    const wrong = await record('achieved', ...bones, '--after', join(folder, 'none.stl'), '--bone', 'tibia', '--json')
    expect(wrong.code).toBe(1)
    expect(JSON.parse(wrong.out).failure.code).toBe('file/unreadable')
  })
})
