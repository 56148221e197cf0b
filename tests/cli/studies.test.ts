import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { sweepCsv } from '../../src/report/study-csv.ts'
import { parseVary, runSweep, valuesOf } from '../../src/studies/sweep.ts'
import { bonesOf } from '../assess/shared-bones.ts'
import { expectFailure, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-studies-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const coarse = [
  ['other', 'femur_right_coarse.ply'],
  ['other', 'tibia_right_coarse.ply'],
] as const
const femur = sharedPath('bones', ...coarse[0])
const tibia = sharedPath('bones', ...coarse[1])
const bones = ['--femur', femur, '--tibia', tibia] as const
const vary = ['--vary', 'cuts.tibia.varusDeg=-2:4:2'] as const
const sweepOfWindow = () => expectOk(runSweep(newCase, bonesOf(...coarse), [expectOk(parseVary(vary[1]))]))

describe('floorline sweep', () => {
  const whole = join(folder, 'sweep.csv')
  let own: ReturnType<typeof sweepOfWindow>
  beforeAll(async () => {
    own = sweepOfWindow()
    expect((await record('sweep', ...bones, ...vary, '--out', whole)).code).toBe(0)
  })

  it('writes the same bytes as a sweep run by the window’s own call', () => {
    expect(readFileSync(whole, 'utf8')).toBe(sweepCsv(own))
    expect(existsSync(`${whole}.part`)).toBe(false)
    expect(readFileSync(whole, 'utf8')).not.toMatch(/NaN|Infinity|undefined|\/tmp|\r/)
  })

  it('goes on after an interruption and ends with the same bytes, a cut-off last line included', async () => {
    const [document, { rows }] = [await keyOf(), own]
    const again = join(folder, 'again.csv')
    const part = `${again}.part`
    writeFileSync(part, `${document}\n${JSON.stringify([3, rows[3]])}\n${JSON.stringify([0, rows[0]])}\n[1, [-1, 17`)
    const { code, err } = await record('sweep', ...bones, ...vary, '--out', again)
    expect(code).toBe(0)
    expect(err).toContain('going on after 2 of 4 rows')
    expect(readFileSync(again, 'utf8')).toBe(readFileSync(whole, 'utf8'))
  })

  it('prints one JSON document, with units, and refuses what cannot be varied', async () => {
    const { code, out } = await record(
      'sweep',
      ...bones,
      '--vary',
      'stance.ankleHalfSpacingMm=45:65:10',
      '--vary',
      'load.bodyMassKg=60:80:20',
      '--json',
    )
    expect(code).toBe(0)
    const document = JSON.parse(out)
    expect(document.schema).toBe('floorline.sweep/1')
    expect(document.rows).toHaveLength(6)
    expect(document.rows.map((row: number[]) => row.slice(0, 2))).toEqual([
      [45, 60],
      [45, 80],
      [55, 60],
      [55, 80],
      [65, 60],
      [65, 80],
    ])
    expect(document.columns[0]).toEqual({ name: 'stance.ankleHalfSpacingMm', unit: 'mm' })
    expect(document.columns).toHaveLength(document.rows[0].length)
    for (const [wrong, exit] of [
      ['stance.pose=1:2:1', 1],
      ['cuts.tibia.tilt=1:2:1', 1],
      ['cuts.tibia.varusDeg=1:2:-1', 1],
      ['nonsense', 2],
    ] as const)
      expect((await record('sweep', ...bones, '--vary', wrong)).code, wrong).toBe(exit)
    expect((await record('sweep', ...bones)).code).toBe(2)
  })

  it('gives a row with the failure’s code where a point cannot be planned', async () => {
    const { out } = await record('sweep', ...bones, '--vary', 'implants.femurSize=4:20:16', '--json')
    const { rows, columns } = JSON.parse(out)
    expect(columns.at(-1).name).toBe('failure')
    expect(rows[0].at(-1)).toBeNull()
    expect(rows[1].at(-1)).toBe('plan/impossible-size')
    expect(rows[1].slice(1, -1).every((cell: unknown) => cell === null)).toBe(true)
  })

  it('steps without rounding litter', () => {
    expect(valuesOf({ path: '', from: 0, to: 0.5, step: 0.1 })).toEqual([0, 0.1, 0.2, 0.3, 0.4, 0.5])
    expect(valuesOf({ path: '', from: -1, to: 1, step: 1 })).toEqual([-1, 0, 1])
    expectFailure(parseVary('saw.kerfMm=0:x:1'), 'case/out-of-range')
  })
})

describe('a study of a case', () => {
  it('is saved with what it varies and draws, runs again by its name, and gives the same bytes and drawing', async () => {
    const at = (name: string) => join(folder, name)
    const two = ['--vary', 'cuts.tibia.varusDeg=0:2:2'] as const
    const asked = ['--output', 'after.hkaDeg', '--out', at('first.csv'), '--chart', at('first.svg')] as const
    const saving = ['--save-study', 'varus', '--case-out', at('with-study.floorline')] as const
    const first = await record('sweep', ...bones, ...two, ...asked, ...saving)
    expect(first.err + first.out).not.toContain('failure')
    expect(first.code).toBe(0)
    const again = ['--study', 'varus', '--out', at('named.csv'), '--chart', at('named.svg')] as const
    expect((await record('sweep', at('with-study.floorline'), ...again)).code).toBe(0)
    const read = (name: string) => readFileSync(at(name), 'utf8')
    expect(read('named.csv')).toBe(read('first.csv'))
    expect(read('named.svg')).toBe(read('first.svg'))
    expect(read('first.svg')).toContain('after.hkaDeg [°]')
    const missing = await record('sweep', at('with-study.floorline'), '--study', 'slope', '--json')
    expect(missing.code).toBe(1)
    expect(JSON.parse(missing.out).failure.hint).toContain('varus')
    const before = read('with-study.floorline')
    expect((await record('sweep', ...bones, ...two, ...saving)).code, 'not overwritten').toBe(1)
    expect(read('with-study.floorline')).toBe(before)
  })

  it('is wrong usage without a name for it, or with both a name and what to vary', async () => {
    for (const wrong of [[], [...vary, '--study', 'x'], [...vary, '--save-study', 'x']])
      expect((await record('sweep', ...bones, ...wrong)).code).toBe(2)
  })
})

describe('floorline batch', () => {
  it('makes one row per knee, failures as rows, in the order of the list', async () => {
    const list = join(folder, 'list.csv')
    writeFileSync(
      list,
      `# a comment\nid,femur,tibia,side,recipe,cuts.tibia.slopeDeg\nA,"${femur}",${tibia},right,mechanical,5\nB,${tibia},${femur},,,\n"C, wrong side",${femur},${tibia},left,,\nD,nowhere.stl,${tibia},,,\nE,${femur},${tibia},sideways,,\n`,
    )
    const out = join(folder, 'batch')
    const { code, out: text } = await record('batch', list, '--out', out, '--json')
    expect(code).toBe(0)
    expect(JSON.parse(text)).toMatchObject({ schema: 'floorline.batch/1', knees: 5, failures: 4 })
    const lines = readFileSync(join(out, 'results.csv'), 'utf8')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
    expect(lines).toHaveLength(6)
    expect(lines[1]).toMatch(/^A,right,mechanical,feet-together,/)
    expect(lines[2]).toMatch(/^B,.*,anatomy\/not-a-femur,/)
    expect(lines[3]).toMatch(/^"C, wrong side",.*,anatomy\/side-contradiction,/)
    expect(lines[4]).toMatch(/^D,.*,file\/unreadable,/)
    expect(lines[5]).toMatch(/^E,.*,case\/out-of-range,/)
    expect((await record('batch', list, '--out', out)).code, 'not overwritten').toBe(1)
  })

  it('refuses a list whose columns mean nothing', async () => {
    for (const text of ['', 'femur\nx.stl\n', 'femur,tibia,colour\na,b,red\n', 'femur,tibia\n"a,b\n']) {
      const list = join(folder, 'wrong.csv')
      writeFileSync(list, text)
      expect((await record('batch', list, '--out', join(folder, 'wrong'))).code, text).toBe(1)
    }
  })
})

describe('floorline series', () => {
  it('gives one row of contact per moment, and a code where nothing presses', async () => {
    const loads = join(folder, 'loads.csv')
    writeFileSync(loads, 'time,axial_N,lateral_N,at_lateral_mm\n0,1000,0,0\n0.1,2000,50,-5\n0.2,0,0,0\n')
    const { code, out } = await record('series', ...bones, '--loads', loads, '--json')
    expect(code).toBe(0)
    const { rows, columns } = JSON.parse(out)
    const column = (name: string) => columns.findIndex((c: { name: string }) => c.name === name)
    expect(rows).toHaveLength(3)
    expect(rows[0][column('medial.loadN')] + rows[0][column('lateral.loadN')]).toBeCloseTo(1000, 3)
    expect(rows[1][column('medial.loadN')]).toBeGreaterThan(rows[1][column('lateral.loadN')])
    expect(rows.map((row: unknown[]) => row.at(-1))).toEqual([null, null, 'load/out-of-range'])
    writeFileSync(loads, 'time,axial_N\n0,much\n')
    expect((await record('series', ...bones, '--loads', loads)).code).toBe(1)
  })
})

describe('the bundled command line', () => {
  const bundle = join(folder, 'bundle')
  const launcher = join(folder, 'launch.mjs')

  beforeAll(async () => {
    const root = fileURLToPath(new URL('../../', import.meta.url))
    await build({
      configFile: join(root, 'vite.node.config.ts'),
      mode: 'cli',
      logLevel: 'error',
      build: { outDir: bundle },
    })
    writeFileSync(
      launcher,
      `import { run } from './bundle/main.js'\nprocess.exitCode = await run(process.argv.slice(2))\n`,
    )
  })

  const start = (...argv: readonly string[]) =>
    spawn(process.execPath, [launcher, ...argv], { stdio: ['ignore', 'pipe', 'pipe'] })
  const ended = (child: ReturnType<typeof start>) => new Promise<number | null>((resolve) => child.on('close', resolve))

  it('gives the same sweep for any number of threads, and after being killed in the middle', async () => {
    const one = join(folder, 'one.csv')
    const two = join(folder, 'two.csv')
    expect(await ended(start('sweep', ...bones, ...vary, '--threads', '1', '--out', one))).toBe(0)
    const child = start('sweep', ...bones, ...vary, '--threads', '2', '--out', two)
    child.stderr.on('data', (text: Buffer) => {
      if (/^2 of/m.test(text.toString())) child.kill('SIGKILL')
    })
    const code = await ended(child)
    if (code !== 0) {
      expect(existsSync(two), 'nothing half done under the final name').toBe(false)
      expect(existsSync(`${two}.part`)).toBe(true)
      expect(await ended(start('sweep', ...bones, ...vary, '--threads', '3', '--out', two))).toBe(0)
    }
    expect(readFileSync(two, 'utf8')).toBe(readFileSync(one, 'utf8'))
  })

  it('gives the same batch after being killed in the middle, failures included, for any number of threads', async () => {
    const list = join(folder, 'kill.csv')
    const knee = (recipe: string) => `${recipe},${femur},${tibia},${recipe}`
    const knees = [knee('mechanical'), `swapped,${tibia},${femur},`, knee('anatomic'), knee('kinematic')]
    writeFileSync(list, `id,femur,tibia,recipe\n${knees.join('\n')}\n`)
    const [whole, killed] = [join(folder, 'batch-whole'), join(folder, 'batch-killed')]
    expect(await ended(start('batch', list, '--threads', '1', '--out', whole))).toBe(0)
    const child = start('batch', list, '--threads', '2', '--out', killed)
    let rows = 0
    child.stderr.on('data', (text: Buffer) => {
      rows = Math.max(rows, Number(/^(\d+) of 4/m.exec(text.toString())?.[1] ?? 0))
      if (rows >= 1) child.kill('SIGKILL')
    })
    expect(await ended(child), 'killed, not finished').toBeNull()
    expect(existsSync(join(killed, 'results.csv')), 'nothing half done under the final name').toBe(false)
    const again = start('batch', list, '--threads', '3', '--out', killed)
    let said = ''
    again.stderr.on('data', (text: Buffer) => {
      said += text.toString()
    })
    expect(await ended(again)).toBe(0)
    expect(said).toMatch(/going on after [1-3] of 4 rows/)
    expect(existsSync(join(killed, 'results.csv.part'))).toBe(false)
    const bytes = readFileSync(join(killed, 'results.csv'), 'utf8')
    expect(bytes).toBe(readFileSync(join(whole, 'results.csv'), 'utf8'))
    expect(bytes).toMatch(/^swapped,.*,anatomy\/not-a-femur,/m)
  }, 300_000)
})

/** The first line of a journal as the program writes it for this sweep. */
async function keyOf(): Promise<string> {
  const out = join(folder, 'key.csv')
  let head = ''
  const { run } = await import('../../src/cli/main.ts')
  await run(['sweep', ...bones, ...vary, '--out', out], {
    out: () => undefined,
    err: () => {
      if (head === '') head = readFileSync(`${out}.part`, 'utf8').split('\n')[0] ?? ''
    },
  })
  return head
}
