import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import type { Result } from '../../src/failure.ts'
import { tableOf } from '../../src/implants/component-table.ts'
import { partialFamilies, totalFamilies } from '../../src/implants/families.ts'
import { componentCsv, componentJson } from '../../src/report/component-file.ts'
import { parseComponents } from '../../src/studies/component-file.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-components-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const bones = [
  '--femur',
  sharedPath('bones', 'other', 'femur_right_coarse.ply'),
  '--tibia',
  sharedPath('bones', 'other', 'tibia_right_coarse.ply'),
] as const

const families = [...totalFamilies, ...partialFamilies]

describe('a component table', () => {
  it('comes back from CSV and JSON as it was, for every family', () => {
    for (const family of families) {
      const before = tableOf(family)
      expect(before.femoral.length).toBeGreaterThanOrEqual(8)
      expect(before.tibial.length).toBeGreaterThanOrEqual(8)
      for (const text of [componentCsv(family), componentJson(family)]) {
        const after = tableOf(expectOk(parseComponents(text)))
        expect({ ...after, femoral: [], tibial: [] }).toEqual({ ...before, femoral: [], tibial: [] })
        for (const part of ['femoral', 'tibial'] as const)
          after[part].forEach(({ size, values }, k) => {
            expect(size).toBe(before[part][k]!.size)
            for (const [name, value] of Object.entries(values))
              expectNear(value, before[part][k]!.values[name]!, { rel: 1e-5, because: 'CSV keeps six digits' })
          })
      }
    }
  })

  it('is refused with the place: a strange column, a missing number, a word, what cannot be built', () => {
    const csv = componentCsv(totalFamilies[0]!)
    const refused = (result: Result<unknown>, code: 'case/syntax' | 'plan/impossible-size', place: RegExp) => {
      expectFailure(result, code)
      if (!result.ok) expect(`${result.failure.place}`).toMatch(place)
    }
    refused(parseComponents(csv.replace('overallApMm', 'overallMm')), 'plan/impossible-size', /femoral\.1/)
    refused(parseComponents(csv.replace('femoral,1,,,,50', 'femoral,1,,,,')), 'plan/impossible-size', /femoral\.1/)
    refused(parseComponents(csv.replace('femoral,1,,,,50', 'femoral,1,,,,wide')), 'case/syntax', /row 2/)
    refused(parseComponents(csv.replace('femoral,1,,,,50', 'femoral,1,,,,500')), 'plan/impossible-size', /femoral\.1/)
    refused(parseComponents('part,size\n'), 'case/syntax', /line 1/)
    refused(parseComponents('{"schema":"other"}'), 'case/syntax', /schema/)
  })

  it('is written by the command line, edited, and planned with, its thickness measured on the new solid', async () => {
    const out = join(folder, 'own.csv')
    expect((await record('components', '--out', out)).code).toBe(0)
    // The column of posterior thickness, two millimetres more in every femoral size.
    const lines = readFileSync(out, 'utf8').split('\n')
    const head = lines.find((line) => line.startsWith('part,'))!.split(',')
    const edited = lines.map((line) => {
      if (!line.startsWith('femoral,')) return line
      const cells = line.split(',')
      const at = head.indexOf('posteriorMm')
      cells[at] = String(Number(cells[at]) + 2)
      return cells.join(',')
    })
    writeFileSync(out, edited.join('\n'))
    const plan = await record('plan', ...bones, '--components', out, '--set', 'implants.femurSize=3', '--json')
    expect(plan.code).toBe(0)
    const findings = JSON.parse(plan.out)
    expect(findings.implants).toMatchObject({ family: 'own', femurSize: 3 })
    const posterior = findings.sites.find((site: { id: string }) => site.id === 'femur-posterior-medial')
    expectNear(posterior.componentMm, 10, { absMm: 1e-9, because: 'size 3 is 8 mm thick behind, and 2 were added' })
    expect((await record('plan', ...bones, '--set', 'implants.family=own')).code).toBe(1)
  }, 60_000)

  it('of a partial family is planned with in its own procedure and leaves the total alone', async () => {
    const out = join(folder, 'partial.json')
    expect((await record('components', '--procedure', 'medial-partial', '--out', out)).code).toBe(0)
    const table = JSON.parse(readFileSync(out, 'utf8'))
    for (const { values } of table.tibial) values.trayMm = 3
    writeFileSync(out, JSON.stringify(table))
    const shown = await record('components', '--procedure', 'medial-partial', '--components', out, '--json')
    expect(JSON.parse(shown.out).tibial[0].values.trayMm).toBe(3)
    const total = await record('components', '--components', out, '--json')
    expect(JSON.parse(total.out)).toMatchObject({ procedure: 'total', name: totalFamilies[0]!.name })
  })
})
