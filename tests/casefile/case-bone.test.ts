import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { boneFromBytes } from '../../src/casefile/bone-from-bytes.ts'
import { caseBone } from '../../src/casefile/case-bone.ts'
import { type MeshReference, newCase } from '../../src/casefile/document.ts'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import { caseText, parseCase, parseCaseText } from '../../src/casefile/schema.ts'
import { writePly } from '../../src/formats/write-ply.ts'
import { boundInside } from '../../src/geometry/bounded-bone.ts'
import { proposeRepairs, type RepairStep } from '../../src/geometry/repair.ts'
import { flipWinding, scaleMesh } from '../../src/geometry/transform.ts'
import { box } from '../fixtures/shapes.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const bytesOf = (...parts: string[]) => new Uint8Array(readFileSync(sharedPath('bones', ...parts)))
const reference = (repairs: readonly RepairStep[] = [], unitFactor = 1) => ({ name: 'bone.ply', unitFactor, repairs })
const mesh = box([0, 0, 0], [30, 40, 50])
const withHole = { positions: mesh.positions, triangles: mesh.triangles.slice(3) }

const everyStep: readonly RepairStep[] = [
  { kind: 'weld', toleranceMm: 0.01 },
  { kind: 'drop-duplicates' },
  { kind: 'drop-fins', belowAreaFraction: 0.01 },
  { kind: 'mend-degenerate' },
  { kind: 'orient' },
  { kind: 'drop-islands', belowAreaFraction: 0.01 },
  { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: 32 },
  { kind: 'cap-plane', point: [1, 2, 3], normal: [0, 0, 1], toleranceMm: 0.25 },
  { kind: 'split-edges' },
]

describe('repairs in a case', () => {
  const withRepairs = (repairs: readonly unknown[]) => ({
    ...newCase,
    meshes: { femur: { sha256: '0'.repeat(64), name: 'f.stl', unitFactor: 1, repairs }, tibia: null },
  })

  it('are kept as they were made, every kind of them, in their order', () => {
    const document = expectOk(parseCase(withRepairs(everyStep)))
    expect(document.meshes.femur?.repairs).toEqual(everyStep)
    expect(expectOk(parseCaseText(caseText(document)))).toEqual(document)
  })

  it('are none in a case saved before there were any', () => {
    const { repairs: _, ...old } = withRepairs([]).meshes.femur
    expect(expectOk(parseCase({ ...newCase, meshes: { femur: old, tibia: null } })).meshes.femur?.repairs).toEqual([])
  })

  it('are refused when unknown, incomplete or without bounds', () => {
    expectFailure(parseCase(withRepairs([{ kind: 'melt' }])), 'case/syntax')
    expectFailure(parseCase(withRepairs([{ kind: 'weld' }])), 'case/syntax')
    expectFailure(parseCase(withRepairs([{ kind: 'weld', toleranceMm: -1 }])), 'case/out-of-range')
    expectFailure(parseCase(withRepairs([{ kind: 'orient', twice: true }])), 'case/unknown-path')
    expectFailure(parseCase(withRepairs(Array(2000).fill({ kind: 'orient' }))), 'case/out-of-range')
  })

  it('make another key, as another unit does; the name of the file does not', () => {
    const one: MeshReference = { sha256: 'a', name: 'x', unitFactor: 1, repairs: [] }
    const keys = [one, { ...one, unitFactor: 10 }, { ...one, repairs: everyStep.slice(0, 1) }, { ...one, sha256: 'b' }]
    expect(new Set(keys.map(meshKey)).size).toBe(4)
    const renamed: MeshReference = { ...one, name: 'y' }
    expect(meshKey(renamed)).toBe(meshKey(one))
  })
})

describe('the bone that a case means', () => {
  it('is scaled first and repaired then: tolerances and lengths are mm', () => {
    const inCm = scaleMesh(withHole, 0.1)
    const border = 30 + 40 + 50
    const fill: RepairStep = { kind: 'fill-holes', minLengthMm: 0, maxLengthMm: border }
    const { bone } = expectOk(caseBone(inCm, reference([fill], 10)))
    expect(bone.closed).toBe(true)
    expectNear(bone.volumeMm3!, 60_000, { rel: 1e-12, because: 'a box of 30 × 40 × 50 mm' })
    expect(expectOk(caseBone(inCm, reference([{ ...fill, maxLengthMm: border / 10 }], 10))).bone.closed).toBe(false)
  })

  it('keeps its holes, and knows the volume with its bound all the same', () => {
    const { bone, mesh: own } = expectOk(caseBone(withHole, reference()))
    expect(own.triangles.length).toBe(withHole.triangles.length)
    expect(bone.closed).toBe(false)
    expectNear(bone.volumeMm3!, 60_000, { rel: 1e-12, because: 'the missing triangle is flat' })
    expect(boundInside(bone, [])).toBe(0)
  })

  it('is turned outward, whether closed or open, and says so', () => {
    for (const { positions, triangles } of [mesh, withHole]) {
      const { bone, warnings } = expectOk(caseBone({ positions, triangles: flipWinding(triangles) }, reference()))
      expectNear(bone.volumeMm3!, 60_000, { rel: 1e-12, because: 'turned outward' })
      expect(warnings.map((w) => w.code)).toEqual(['mesh/turned-outward'])
    }
  })

  it('is a failure when the unit makes it larger than a leg', () => {
    expectFailure(caseBone(mesh, reference([], 1000)), 'unit/too-large')
  })

  it('is a failure when repairs leave nothing of it', () => {
    expectFailure(caseBone({ positions: mesh.positions, triangles: new Uint32Array() }, reference()), 'mesh/no-faces')
  })

  it('is closed by the proposals that a broken femur gets, and again by the same steps from its file', () => {
    const bytes = bytesOf('defects', 'femur_left_holes.ply')
    const open = expectOk(boneFromBytes(bytes, 'femur', null))
    expect(open.bone.closed).toBe(false)
    const steps: RepairStep[] = []
    for (let next = proposeRepairs(open.file.mesh)[0]; next; ) {
      steps.push(next.step)
      next = proposeRepairs(expectOk(caseBone(open.file.mesh, reference(steps))).mesh)[0]
      expect(steps.length).toBeLessThan(20)
    }
    const repaired = expectOk(boneFromBytes(bytes, 'femur', null, { repairs: steps })).bone
    const again = expectOk(boneFromBytes(bytes, 'femur', null, { repairs: steps })).bone
    expect(repaired.closed).toBe(true)
    expect(again.mesh.triangles).toEqual(repaired.mesh.triangles)
    const bound = boundInside(open.bone, [])!
    expect(Math.abs(repaired.volumeMm3! - open.bone.volumeMm3!)).toBeLessThanOrEqual(bound)
  })
})

describe('a bone file in another unit than mm', () => {
  const whole = expectOk(boneFromBytes(bytesOf('bp3d', 'femur_right.stl'), 'femur', null))
  const inUnit = (mm: number) => writePly(scaleMesh(whole.file.mesh, 1 / mm), { precision: 'double' })

  it.each([
    ['m', 1000],
    ['cm', 10],
    ['inch', 25.4],
  ] as const)('in %s is refused with the unit its size speaks for, and used once that is said', (unit, factor) => {
    const asked = boneFromBytes(inUnit(factor), 'femur.ply', null, { bone: 'femur' })
    expectFailure(asked, 'unit/not-mm')
    expect(asked.ok ? '' : asked.failure.hint).toContain(`--unit ${unit} `)
    const { bone, warnings } = expectOk(boneFromBytes(inUnit(factor), 'femur.ply', factor, { bone: 'femur' }))
    expectNear(bone.volumeMm3!, whole.bone.volumeMm3!, { rel: 1e-9, because: 'the same bone, rounded once more' })
    expect(warnings).toEqual([])
  })

  it('is taken at its word when mm is said all the same', () => {
    const { bone } = expectOk(boneFromBytes(inUnit(1000), 'femur.ply', 1))
    expectNear(bone.volumeMm3!, whole.bone.volumeMm3! / 1e9, { rel: 1e-9, because: 'nothing is converted' })
  })

  it('is read as mm with a warning where its size is no bone’s in any unit', () => {
    const { unitFactor, warnings } = expectOk(boneFromBytes(inUnit(1e6), 'femur.ply', null))
    expect(unitFactor).toBe(1)
    expect(warnings.map((w) => w.code)).toEqual(['unit/unknown'])
  })
})
