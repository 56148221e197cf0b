import { strToU8, type Zippable, zipSync } from 'fflate'
import { describe, expect, it } from 'vitest'
import { readContainer, writeContainer } from '../../src/casefile/container.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { sha256 } from '../../src/casefile/hash.ts'
import { caseText } from '../../src/casefile/schema.ts'
import { expectFailure, expectOk } from '../near.ts'

const femur = strToU8('solid femur\nendsolid femur\n')
const tibia = strToU8('solid tibia\nendsolid tibia\n')

async function filledCase(): Promise<{ document: CaseDocument; meshes: Map<string, Uint8Array> }> {
  const [f, t] = [await sha256(femur), await sha256(tibia)]
  return {
    document: {
      ...newCase,
      name: 'Ünïcode',
      side: 'left',
      meshes: {
        femur: { sha256: f, name: 'femur.stl', unitFactor: 1, repairs: [] },
        tibia: { sha256: t, name: 'tibia.stl', unitFactor: 10, repairs: [{ kind: 'orient' }] },
      },
      landmarks: { hipCentre: { mm: [1.25, -3, 400.125], source: 'given' } },
    },
    meshes: new Map([
      [f, femur],
      [t, tibia],
    ]),
  }
}

const zipped = (entries: Zippable) => zipSync(entries, { level: 6 })

describe('the hash', () => {
  it('gives the SHA-256 of “abc” printed in FIPS 180-4, example B.1', async () => {
    expect(await sha256(strToU8('abc'))).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad')
  })
})

describe('a case on disk', () => {
  it('comes back as it was saved, and equal cases give equal bytes', async () => {
    const contents = await filledCase()
    const bytes = expectOk(await writeContainer(contents))
    const back = expectOk(await readContainer(bytes))
    expect(back.document).toEqual(contents.document)
    expect([...back.meshes.entries()].map(([hash, b]) => [hash, [...b]])).toEqual(
      [...contents.meshes.entries()].map(([hash, b]) => [hash, [...b]]),
    )
    expect(expectOk(await writeContainer(contents))).toEqual(bytes)
  })

  it('takes the other leg’s files along where they are at hand, checks them, and does without them', async () => {
    const { document, meshes } = await filledCase()
    const own = [strToU8('other femur'), strToU8('other tibia')] as const
    const files = [await sha256(own[0]), await sha256(own[1])]
    const other = { legLengthMm: 800, varusDeg: 1, hipHalfSpacingMm: null, files }
    const beside = { ...document, stance: { ...document.stance, other } }
    const all = new Map([...meshes, [files[0]!, own[0]], [files[1]!, own[1]]])
    const back = expectOk(await readContainer(expectOk(await writeContainer({ document: beside, meshes: all }))))
    expect([...back.meshes.keys()].sort()).toEqual([...all.keys()].sort())
    const without = expectOk(await readContainer(expectOk(await writeContainer({ document: beside, meshes }))))
    expect([...without.meshes.keys()].sort()).toEqual([...meshes.keys()].sort())
    const swapped = new Map(all).set(files[0]!, own[1])
    expectFailure(await writeContainer({ document: beside, meshes: swapped }), 'case/hash')
  })

  it('saves a case that has no meshes yet', async () => {
    const bytes = expectOk(await writeContainer({ document: newCase, meshes: new Map() }))
    expect(expectOk(await readContainer(bytes)).document).toEqual(newCase)
  })

  it('refuses to write a mesh that is missing or is not the one referred to', async () => {
    const { document } = await filledCase()
    expectFailure(await writeContainer({ document, meshes: new Map() }), 'case/mesh-missing')
    const swapped = new Map([
      [document.meshes.femur!.sha256, tibia],
      [document.meshes.tibia!.sha256, femur],
    ])
    expectFailure(await writeContainer({ document, meshes: swapped }), 'case/hash')
  })

  it('notices a mesh that was swapped or removed inside the file', async () => {
    const { document } = await filledCase()
    const [f, t] = [document.meshes.femur!.sha256, document.meshes.tibia!.sha256]
    const head = { 'case.json': strToU8(caseText(document)) }
    expectFailure(await readContainer(zipped({ ...head, [`meshes/${f}`]: femur })), 'case/mesh-missing')
    expectFailure(await readContainer(zipped({ ...head, [`meshes/${f}`]: tibia, [`meshes/${t}`]: tibia })), 'case/hash')
  })

  it('refuses hostile entry names, too many entries and sizes beyond the limits, before unpacking', async () => {
    const head = { 'case.json': strToU8(caseText(newCase)) }
    for (const name of ['../../evil', '/etc/passwd', 'meshes/../x', 'C:\\x', `meshes/${'g'.repeat(64)}`, 'readme.txt'])
      expectFailure(await readContainer(zipped({ ...head, [name]: femur })), 'file/too-large')
    const many = Object.fromEntries(
      Array.from({ length: 20 }, (_, k) => [`meshes/${k.toString(16).padStart(64, '0')}`, femur]),
    )
    expectFailure(await readContainer(zipped({ ...head, ...many })), 'file/too-large')
    const limits = { entries: 16, caseBytes: 1e6, meshBytes: 1000, totalBytes: 1e6 }
    const large = { [`meshes/${'0'.repeat(64)}`]: new Uint8Array(2000) }
    expectFailure(await readContainer(zipped({ ...head, ...large }), limits), 'file/too-large')
  })

  it('refuses a zip bomb that lies about its size, without unpacking more than it declared', async () => {
    const bomb = zipped({
      'case.json': strToU8(caseText(newCase)),
      [`meshes/${'0'.repeat(64)}`]: new Uint8Array(50_000_000),
    })
    const lying = bomb.slice()
    const view = new DataView(lying.buffer)
    for (let i = 0; i + 4 < lying.length; i++)
      if (view.getUint32(i, true) === 0x02014b50 && view.getUint32(i + 24, true) === 50_000_000)
        view.setUint32(i + 24, 500, true)
    const limits = { entries: 16, caseBytes: 1e6, meshBytes: 1000, totalBytes: 1e6 }
    const before = process.memoryUsage().arrayBuffers
    const result = await readContainer(lying, limits)
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(10_000_000)
    // What is declared as 500 bytes is unpacked to 500 bytes at most; the case itself refers to no mesh.
    if (result.ok) expect(result.value.meshes.size).toBe(0)
    else expectFailure(result, 'case/syntax')
  })

  it('gives a failure, never an exception, for anything cut off or bent', async () => {
    const bytes = expectOk(await writeContainer(await filledCase()))
    for (let cut = 0; cut < bytes.length; cut += 7) {
      const result = await readContainer(bytes.slice(0, cut))
      expect(result.ok, `cut at ${cut}`).toBe(false)
    }
    for (let at = 0; at < bytes.length; at += 11) {
      const bent = bytes.slice()
      bent[at] = bent[at]! ^ 0x5a
      const result = await readContainer(bent)
      if (result.ok) expect(result.value.document).toEqual((await filledCase()).document)
    }
  })
})
