import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { readContainer } from '../../src/casefile/container.ts'
import { readMesh } from '../../src/formats/read.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { volume } from '../../src/geometry/measure.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-cli-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const femur = sharedPath('bones', 'bp3d', 'femur_right.stl')
const tibia = sharedPath('bones', 'bp3d', 'tibia_right.stl')
const bones = ['--femur', femur, '--tibia', tibia] as const
const hraLeft = [
  '--femur',
  sharedPath('bones', 'hra', 'femur_left.ply'),
  '--tibia',
  sharedPath('bones', 'hra', 'tibia_left.ply'),
] as const

describe('floorline inspect', () => {
  it('describes files in the order given, real and broken ones, and exits 0 when one could be read', async () => {
    const broken = join(folder, 'broken.stl')
    writeFileSync(broken, 'this is no mesh')
    const { code, out } = await record('inspect', femur, broken, tibia, '--json')
    expect(code).toBe(0)
    const document = JSON.parse(out)
    expect(document.schema).toBe('floorline.inspect/1')
    expect(document.files.map((f: { file: string; ok: boolean }) => [f.file, f.ok])).toEqual([
      [femur, true],
      [broken, false],
      [tibia, true],
    ])
    const [first, second] = document.files
    expect(first).toMatchObject({
      triangles: 12990,
      closed: true,
      pieces: 1,
      boundaryEdges: 0,
      orientation: 'outward',
      unitGuess: 'mm',
      boneGuess: 'femur',
      sideGuess: 'right',
      failure: null,
    })
    expect(second.failure.code).toMatch(/^format\//)
  })

  it('exits 1 when no file could be read, and 2 without a file', async () => {
    expect((await record('inspect', join(folder, 'no-such-file.stl'))).code).toBe(1)
    expect((await record('inspect')).code).toBe(2)
  })

  it('calls a valid file without faces readable, with a warning', async () => {
    const { code, out } = await record(
      'inspect',
      sharedPath('mesh-corpus', 'Fluci__ply-rs', 'example_plys', 'empty_ok_ascii.ply'),
      '--json',
    )
    expect(code).toBe(0)
    const [file] = JSON.parse(out).files
    expect(file).toMatchObject({ ok: true, triangles: 0 })
    expect(file.warnings.length).toBeGreaterThan(0)
  })
})

describe('floorline landmarks', () => {
  it('prints one JSON document with landmarks, fits and angles', async () => {
    const { code, out } = await record('landmarks', ...bones, '--json')
    expect(code).toBe(0)
    const document = JSON.parse(out)
    expect(document.schema).toBe('floorline.landmarks/1')
    expect(Object.keys(document)).toEqual(
      expect.arrayContaining([
        'side',
        'sideSource',
        'references',
        'bones',
        'landmarks',
        'fits',
        'angles',
        'intervals',
        'warnings',
      ]),
    )
    expectNear(document.fits.femoralHead.radiusMm, 23.1, { absMm: 0.5, because: 'published to 0.1 mm' })
  })

  it('takes a given hip centre, and says where it came from', async () => {
    const { out } = await record('landmarks', ...bones, '--hip', '-80,-92,820', '--json')
    expect(JSON.parse(out).landmarks.hipCentre).toMatchObject({ mm: [-80, -92, 820], source: 'given' })
    expect((await record('landmarks', ...bones, '--hip', '1,2')).code).toBe(2)
    expect((await record('landmarks', ...bones, '--hip', '1,2,x')).code).toBe(2)
  })
})

describe('floorline plan', () => {
  it('prints findings as one JSON document, warnings on standard error, the caution at its head', async () => {
    const { code, out, err } = await record('plan', ...bones, '--json')
    expect(code).toBe(0)
    const findings = JSON.parse(out)
    expect(Object.keys(findings).slice(0, 2)).toEqual(['schema', 'caution'])
    expect(findings.schema).toBe('floorline.findings/1')
    expect(findings.run.meshes.map((m: { bone: string; name: string }) => [m.bone, m.name])).toEqual([
      ['femur', 'femur_right.stl'],
      ['tibia', 'tibia_right.stl'],
    ])
    expect(err).toContain('warning: ')
  })

  it('prints tables without --json', async () => {
    const { code, out } = await record('plan', ...bones)
    expect(code).toBe(0)
    for (const word of [
      'RIGHT KNEE',
      'TAKEN AND PUT BACK',
      'CUTS',
      'ALIGNED',
      'STANDS',
      'LOADED',
      'ASSUMED',
      'Not judged',
      'not a medical device',
    ])
      expect(out).toContain(word)
    expect(out).not.toMatch(/NaN|undefined|Infinity/)
  })

  it('writes every file with --out, never over an existing one without --force', async () => {
    const out = join(folder, 'plan')
    const first = await record('plan', ...bones, '--set', 'cuts.tibia.varusDeg=2', '--out', out)
    expect(first.code).toBe(0)
    const names = readdirSync(out).sort()
    expect(names).toEqual(
      expect.arrayContaining([
        'case.floorline',
        'findings.json',
        'report.html',
        'sites.csv',
        'femur-kept.stl',
        'tibia-kept.stl',
        'tibia.stl',
        'femur-distal.stl',
        'femur-posterior.stl',
      ]),
    )
    expect(names.some((name) => name.endsWith('.part'))).toBe(false)
    const again = await record('plan', ...bones, '--out', out, '--json')
    expect(again.code).toBe(1)
    expect(JSON.parse(again.out).failure.code).toBe('file/exists')
    expect((await record('plan', ...bones, '--set', 'cuts.tibia.varusDeg=2', '--out', out, '--force')).code).toBe(0)

    const findings = JSON.parse(readFileSync(join(out, 'findings.json'), 'utf8'))
    for (const [solid, bone] of [
      ['tibia-kept.stl', 'tibia'],
      ['femur-kept.stl', 'femur'],
    ] as const) {
      const mesh = expectOk(readMesh(new Uint8Array(readFileSync(join(out, solid))), solid)).mesh
      expect(meshHealth(mesh).closed, solid).toBe(true)
      const removed = findings.volumes[`${bone}RemovedMm3`]
      expectNear(volume(mesh) + removed, findings.bones[bone].volumeMm3, { rel: 2e-6, because: 'float32 STL' })
    }
    const report = readFileSync(join(out, 'report.html'), 'utf8')
    expect(report).toContain('RIGHT')
    expect(report).toContain('<svg')
    expect(report).not.toMatch(/NaN|undefined|<script|https?:\/\/(?!www\.w3\.org)/)
  })

  it('strips what could identify a person from exported files, and plans the exported case to the same numbers', async () => {
    const secret = join(folder, 'JANE-DOE-1970.stl')
    writeFileSync(secret, readFileSync(femur))
    const out = join(folder, 'stripped')
    expect((await record('plan', '--femur', secret, '--tibia', tibia, '--out', out)).code).toBe(0)
    for (const name of readdirSync(out)) {
      const bytes = readFileSync(join(out, name))
      expect(bytes.includes('JANE'), name).toBe(false)
      expect(bytes.includes(folder), name).toBe(false)
    }
    const exported = JSON.parse(readFileSync(join(out, 'findings.json'), 'utf8'))
    const replanned = JSON.parse((await record('plan', join(out, 'case.floorline'), '--json')).out)
    expect(replanned).toEqual(exported)
    const { document } = expectOk(await readContainer(new Uint8Array(readFileSync(join(out, 'case.floorline')))))
    expect(document.meshes.femur?.name).toBe('femur.ply')
  })

  it('stops with a failure on a wrong declared side', async () => {
    const { code, out } = await record('plan', ...bones, '--side', 'left', '--json')
    expect(code).toBe(1)
    expect(JSON.parse(out)).toMatchObject({
      schema: 'floorline.failure/1',
      failure: { code: 'anatomy/side-contradiction' },
    })
    expect((await record('plan', ...hraLeft, '--side', 'left')).code).toBe(0)
  })

  it('tells a failure in sentences without --json, and nothing on standard output', async () => {
    const { code, out, err } = await record('plan', '--femur', tibia, '--tibia', femur)
    expect(code).toBe(1)
    expect(out).toBe('')
    expect(err).toContain('anatomy/not-a-femur')
  })

  it('refuses files that cannot be used, with code and place', async () => {
    const bytes = readFileSync(femur)
    const files: readonly (readonly [string, Buffer | string])[] = [
      ['empty.stl', ''],
      ['truncated.stl', bytes.subarray(0, bytes.length - 30)],
      ['text.stl', 'Dear colleague, please find the bone attached.'],
    ]
    for (const [name, content] of files) {
      const path = join(folder, name)
      writeFileSync(path, content)
      const { code, out } = await record('plan', '--femur', path, '--tibia', tibia, '--json')
      expect(code, name).toBe(1)
      const { failure } = JSON.parse(out)
      expect(failure.code, name).toMatch(/^(format|file)\//)
      expect(failure.place, name).toContain(name)
    }
  })

  it('tells wrong usage from a value that cannot be used', async () => {
    const usage = [
      ['plan'],
      ['plan', '--femur', femur],
      ['plan', ...bones, '--recipe', 'magic'],
      ['plan', ...bones, '--set', 'nothing'],
      ['plan', ...bones, '--nonsense'],
      ['nonsense'],
      [],
    ]
    for (const argv of usage) expect((await record(...argv)).code, argv.join(' ')).toBe(2)
    const unusable = [
      ['plan', ...bones, '--set', 'cuts.tibia.varusDeg=99'],
      ['plan', ...bones, '--set', 'cuts.tibia.tilt=3'],
      ['plan', ...bones, '--set', 'implants.femurSize=19'],
      ['plan', join(folder, 'no.floorline')],
      ['plan', femur],
    ]
    for (const argv of unusable) expect((await record(...argv)).code, argv.join(' ')).toBe(1)
    const json = await record('plan', '--json')
    expect(JSON.parse(json.out).failure.code).toBe('cli/usage')
  })
})

describe('floorline compare', () => {
  it('gives the four recipes side by side', async () => {
    const { code, out } = await record('compare', ...hraLeft, '--json')
    expect(code).toBe(0)
    const { schema, recipes } = JSON.parse(out)
    expect(schema).toBe('floorline.compare/1')
    expect(Object.keys(recipes)).toEqual(['mechanical', 'anatomic', 'kinematic', 'restricted'])
    for (const [name, findings] of Object.entries(recipes))
      expect(findings).toMatchObject({ recipe: name, side: 'left' })
    expectNear(recipes.mechanical.after.mptaDeg, 90, { absDeg: 1e-6, because: 'mechanical is 90/90' })
    expectNear(recipes.mechanical.after.ldfaDeg, 90, { absDeg: 1e-6, because: 'mechanical is 90/90' })
    expect((await record('compare', ...hraLeft)).out).toContain('kinematic')
  })
})

describe('the help', () => {
  it('carries the caution for the program and for every command', async () => {
    for (const argv of [
      ['--help'],
      ...[
        'inspect',
        'landmarks',
        'plan',
        'compare',
        'sweep',
        'batch',
        'series',
        'saw-off',
        'achieved',
        'components',
        'level',
        'demo',
      ].map((name) => [name, '--help']),
    ]) {
      const { code, out } = await record(...argv)
      expect(code, argv.join(' ')).toBe(0)
      expect(out.replace(/\s+/g, ' ')).toContain('not a medical device')
    }
    expect(existsSync(folder)).toBe(true)
  })
})
