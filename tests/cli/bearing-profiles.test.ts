import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { readContainer } from '../../src/casefile/container.ts'
import { arc, heightOf } from '../../src/loading/profile.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-profiles-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const bones = [
  '--femur',
  sharedPath('bones', 'other', 'femur_right_coarse.ply'),
  '--tibia',
  sharedPath('bones', 'other', 'tibia_right_coarse.ply'),
] as const

const table = (radiusMm: number) => {
  const height = heightOf(arc(radiusMm))
  const lines = Array.from({ length: 121 }, (_, k) => `coronal,${(k - 60) * 0.2},${height((k - 60) * 0.2)}`)
  return `direction,at_mm,height_mm\n${lines.join('\n')}\n`
}

describe('an own condyle profile', () => {
  it('goes from a CSV into the contact, the assumptions and the saved case, and a tighter one presses harder', async () => {
    const peak = async (radiusMm: number, ...more: readonly string[]) => {
      const file = join(folder, `condyle-${radiusMm}.csv`)
      writeFileSync(file, table(radiusMm))
      const { code, out } = await record('plan', ...bones, '--condyle-profile', file, '--json', ...more)
      expect(code).toBe(0)
      const findings = JSON.parse(out)
      expect(findings.assumptions.map((a: { what: string }) => a.what)).toContain('own profile, condyle across')
      const bearing = findings.loading[0].bearing.medial ?? findings.loading[0].bearing.lateral
      expect(bearing.hertzPeakMpa, 'a table has no radius to compare with').toBeNull()
      return bearing.peakMpa as number
    }
    const saved = join(folder, 'saved')
    const tight = await peak(12, '--out', saved)
    expect(tight).toBeGreaterThan(await peak(28))
    const [file] = caseIn(saved)
    const { document } = expectOk(await readContainer(new Uint8Array(readFileSync(join(saved, file!)))))
    expect(document.bearing.own.femoralCoronal).toHaveLength(121)
    const again = await record('plan', join(saved, file!), '--json')
    const first = JSON.parse(again.out).loading[0].bearing
    expect((first.medial ?? first.lateral).peakMpa).toBe(tight)
  })

  it('is refused with its row when a cell is no number', async () => {
    const file = join(folder, 'wrong.csv')
    writeFileSync(file, 'direction,at_mm,height_mm\ncoronal,0,high\n')
    const { code, out } = await record('plan', ...bones, '--condyle-profile', file, '--json')
    expect(code).toBe(1)
    expect(JSON.parse(out).failure).toMatchObject({ code: 'case/syntax', place: 'row 1' })
  })
})

const caseIn = (path: string): string[] => readdirSync(path).filter((name) => name.endsWith('.floorline'))
