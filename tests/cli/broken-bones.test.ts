import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { writeContainer } from '../../src/casefile/container.ts'
import { newCase } from '../../src/casefile/document.ts'
import { sha256 } from '../../src/casefile/hash.ts'
import { readMesh } from '../../src/formats/read.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { isClosed } from '../../src/geometry/closed.ts'
import { meshHealth } from '../../src/geometry/health.ts'
import { applyRepairs, proposeRepairs, type RepairStep } from '../../src/geometry/repair.ts'
import { scaleMesh } from '../../src/geometry/transform.ts'
import { expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'
import { record } from './recorder.ts'

const folder = mkdtempSync(join(tmpdir(), 'floorline-broken-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const holes = sharedPath('bones', 'defects', 'femur_left_holes.ply')
const tibia = sharedPath('bones', 'hra', 'tibia_left.ply')
const meshOf = (path: string) => expectOk(readMesh(new Uint8Array(readFileSync(path)), path)).mesh
/** Of numbers that JSON carries in the sixteenth digit. */
const sameNumber = { rel: 1e-9, because: 'the same mesh by another way' } as const

interface Cut {
  readonly id: string
  readonly bone: string
  readonly removedMm3: number
  readonly removedBoundMm3: number
}

describe('floorline plan on a femur with holes', () => {
  it('gives every femoral volume with a bound, the tibia’s with none', async () => {
    const { code, out } = await record('plan', '--femur', holes, '--tibia', tibia, '--json')
    expect(code).toBe(0)
    const { bones, volumes, cuts, warnings } = JSON.parse(out)
    expect(bones.femur.closed).toBe(false)
    expect(bones.femur.volumeMm3).toBeGreaterThan(0)
    expect(bones.femur.volumeBoundMm3).toBeGreaterThan(0)
    expect(bones.tibia).toMatchObject({ closed: true, volumeBoundMm3: 0 })
    for (const cut of cuts as Cut[]) {
      if (cut.bone === 'tibia') expect(cut.removedBoundMm3).toBe(0)
      else expect(cut.removedBoundMm3, cut.id).toBeGreaterThan(0)
    }
    const sum = (cuts as Cut[]).filter((c) => c.bone === 'femur').reduce((mm3, c) => mm3 + c.removedBoundMm3, 0)
    expectNear(volumes.femurRemovedBoundMm3, sum, { rel: 1e-12, because: 'bounds of cuts add up' })
    expect(volumes.tibiaRemovedBoundMm3).toBe(0)
    expect(warnings.map((w: { code: string }) => w.code)).toContain('mesh/open-bounded')
  })

  it('prints the bound beside each of them and calls thickness read off a patch by its site', async () => {
    const { out } = await record('plan', '--femur', holes, '--tibia', tibia)
    const femoral = out.split('\n').filter((line) => /^ *Femur, (distal|anterior|posterior)/.test(line))
    expect(femoral.length).toBeGreaterThanOrEqual(5)
    for (const line of femoral) expect(line.match(/ ± /g), line).toHaveLength(3)
    expect(out).toMatch(/femur: removed \d+\.\d ± \d+\.\d cm³/)
    expect(out).toMatch(/tibia: removed \d+\.\d cm³/)
    expect(out).toMatch(/read\s+off\s+a\s+stand-in\s+patch/)
  })

  it('writes the bound into the report, and pieces that are closed by the stand-in patches', async () => {
    const into = join(folder, 'out')
    expect((await record('plan', '--femur', holes, '--tibia', tibia, '--out', into)).code).toBe(0)
    const report = readFileSync(join(into, 'report.html'), 'utf8')
    expect(report).toMatch(/<td>Femur<\/td><td class="number">\d+\.\d ± \d+\.\d<\/td>/)
    expect(report).toMatch(/<td>Tibia<\/td><td class="number">\d+\.\d<\/td>/)
    const solids = readdirSync(into).filter((name) => name.endsWith('.stl'))
    expect(solids).toContain('femur-kept.stl')
    for (const name of solids) {
      const { boundaryEdges, balanced } = meshHealth(meshOf(join(into, name)))
      expect([name, boundaryEdges, balanced]).toEqual([name, 0, true])
    }
  })

  it('has no bound once a case records the repairs that close it, and equals the plan of the repaired file', async () => {
    const bytes = new Uint8Array(readFileSync(holes))
    const steps: RepairStep[] = []
    let mesh = meshOf(holes)
    for (let next = proposeRepairs(mesh)[0]; next; next = proposeRepairs(mesh)[0]) {
      steps.push(next.step)
      mesh = applyRepairs(meshOf(holes), steps)
    }
    expect(meshHealth(mesh).closed).toBe(true)
    const [femurHash, tibiaBytes] = [await sha256(bytes), new Uint8Array(readFileSync(tibia))]
    const tibiaHash = await sha256(tibiaBytes)
    const container = await writeContainer({
      document: {
        ...newCase,
        meshes: {
          femur: { sha256: femurHash, name: 'femur.ply', unitFactor: 1, repairs: steps },
          tibia: { sha256: tibiaHash, name: 'tibia.ply', unitFactor: 1, repairs: [] },
        },
      },
      meshes: new Map([
        [femurHash, bytes],
        [tibiaHash, tibiaBytes],
      ]),
    })
    const path = join(folder, 'repaired.floorline')
    writeFileSync(path, expectOk(container))
    const repairedFile = join(folder, 'repaired.ply')
    writeFileSync(repairedFile, writePly(mesh, { precision: 'double' }))
    const fromCase = JSON.parse((await record('plan', path, '--json')).out)
    const fromFile = JSON.parse((await record('plan', '--femur', repairedFile, '--tibia', tibia, '--json')).out)
    expect(fromCase.bones.femur).toMatchObject({ closed: true, volumeBoundMm3: 0 })
    expect(fromCase.run.meshes[0].repairs).toEqual(steps)
    expectNear(fromCase.volumes.femurRemovedMm3, fromFile.volumes.femurRemovedMm3, sameNumber)
    expectNear(fromCase.bones.femur.volumeMm3, fromFile.bones.femur.volumeMm3, sameNumber)
  })
})

describe('floorline on bones that have no inside', () => {
  it('withholds the volumes and names their paths', async () => {
    // One face turned over: which side is out is no longer agreed.
    const { positions, triangles } = meshOf(sharedPath('bones', 'hra', 'tibia_right.ply'))
    const turned = Uint32Array.from([triangles[0]!, triangles[2]!, triangles[1]!, ...triangles.subarray(3)])
    const tibia = join(folder, 'turned.ply')
    writeFileSync(tibia, writePly({ positions, triangles: turned }, { precision: 'double' }))
    const femur = sharedPath('bones', 'other', 'femur_right_coarse.ply')
    const { code, out } = await record('plan', '--femur', femur, '--tibia', tibia, '--json')
    expect(code).toBe(0)
    const { bones, volumes, cuts, warnings } = JSON.parse(out)
    expect(bones.tibia).toMatchObject({ closed: false, volumeMm3: null, volumeBoundMm3: null })
    expect(volumes).toMatchObject({ tibiaRemovedMm3: null, tibiaRemovedBoundMm3: null })
    expect(volumes.femurRemovedBoundMm3).toBe(0)
    expect(cuts[0]).toMatchObject({ id: 'tibia', removedMm3: null, removedBoundMm3: null, kerfMm3: null })
    const spoils = warnings.flatMap((w: { spoils: string[] }) => w.spoils)
    for (const path of [
      'bones.tibia.volumeMm3',
      'bones.tibia.volumeBoundMm3',
      'volumes.tibiaRemovedMm3',
      'volumes.tibiaRemovedBoundMm3',
      'cuts.tibia.removedMm3',
      'cuts.tibia.removedBoundMm3',
      'cuts.tibia.kerfMm3',
      'cuts.tibia.pieceMm3',
    ])
      expect(spoils).toContain(path)
  })
})

describe('floorline on a bone with triangles given twice', () => {
  it('gives volumes of what is left without them, with the warning, and its pieces', async () => {
    const tibia = sharedPath('bones', 'defects', 'tibia_right_nonmanifold.ply')
    const femur = sharedPath('bones', 'other', 'femur_right_coarse.ply')
    const into = join(folder, 'doubled')
    const { code, out } = await record('plan', '--femur', femur, '--tibia', tibia, '--json', '--out', into)
    expect(code).toBe(0)
    const { bones, warnings } = JSON.parse(out)
    expect(bones.tibia).toMatchObject({ closed: false, volumeBoundMm3: expect.any(Number) })
    expect(bones.tibia.volumeMm3).toBeGreaterThan(1e5)
    expect(warnings.some((w: { code: string }) => w.code === 'mesh/open-bounded')).toBe(true)
    for (const name of ['tibia', 'tibia-kept']) expect(isClosed(meshOf(join(into, `${name}.stl`))), name).toBe(true)
  })
})

describe('floorline on bones in another unit', () => {
  const right = (bone: string) => sharedPath('bones', 'bp3d', `${bone}_right.stl`)
  const scaled = (bone: 'femur' | 'tibia', factor: number) => {
    const path = join(folder, `${bone}-${factor}.ply`)
    writeFileSync(path, writePly(scaleMesh(meshOf(right(bone)), 1 / factor), { precision: 'double' }))
    return path
  }

  it('stops with the unit their size speaks for; with --unit the plan is that of the bones in mm', async () => {
    const files = ['--femur', scaled('femur', 1000), '--tibia', scaled('tibia', 1000)] as const
    const refused = await record('plan', ...files, '--json')
    expect(refused.code).toBe(1)
    expect(JSON.parse(refused.out).failure).toMatchObject({ code: 'unit/not-mm' })
    expect(JSON.parse(refused.out).failure.hint).toContain('--unit m ')
    const inMetres = JSON.parse((await record('plan', ...files, '--unit', 'm', '--json')).out)
    const inMm = JSON.parse((await record('plan', '--femur', right('femur'), '--tibia', right('tibia'), '--json')).out)
    expectNear(inMetres.angles.mptaDeg, inMm.angles.mptaDeg, { absDeg: 1e-6, because: 'coordinates rounded once more' })
    expect(inMetres.run.meshes.map((m: { unitFactor: number }) => m.unitFactor)).toEqual([1000, 1000])
  })

  it('reads the bones of a case in another unit when that is said', async () => {
    const bytes = [scaled('femur', 10), scaled('tibia', 10)].map((path) => new Uint8Array(readFileSync(path)))
    const [femurHash, tibiaHash] = await Promise.all(bytes.map(sha256))
    const reference = (hash: string) => ({ sha256: hash, name: 'bone.ply', unitFactor: 1, repairs: [] })
    const container = await writeContainer({
      document: { ...newCase, meshes: { femur: reference(femurHash!), tibia: reference(tibiaHash!) } },
      meshes: new Map([
        [femurHash!, bytes[0]!],
        [tibiaHash!, bytes[1]!],
      ]),
    })
    const path = join(folder, 'centimetres.floorline')
    writeFileSync(path, expectOk(container))
    const { out } = await record('landmarks', path, '--unit', 'cm', '--json')
    expectNear(JSON.parse(out).fits.femoralHead.radiusMm, 22, { absMm: 6, because: 'heads are 32 to 56 mm wide' })
  })

  it('proposes the unit when it inspects them, and converts nothing', async () => {
    const { code, out } = await record('inspect', scaled('tibia', 25.4), '--json')
    expect(code).toBe(0)
    const [file] = JSON.parse(out).files
    expect(file.unitGuess).toBe('inch')
    expect(file.warnings.map((w: { code: string }) => w.code)).toContain('unit/not-mm')
    expect(file.boxMm[1][2] - file.boxMm[0][2]).toBeLessThan(20)
  })
})
