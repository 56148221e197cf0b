import { strFromU8, strToU8, unzipSync, type Zippable, zipSync } from 'fflate'
import { fail, ok, type Result } from '../failure.ts'
import { companionsOf } from './companions.ts'
import type { CaseDocument, MeshReference } from './document.ts'
import { sha256 } from './hash.ts'
import { caseText, parseCaseText } from './schema.ts'

/** Bytes of mesh files under their SHA-256. */
export type MeshBytes = ReadonlyMap<string, Uint8Array>

export interface CaseContents {
  readonly document: CaseDocument
  readonly meshes: MeshBytes
}

/** What a container may hold before it is refused; sizes in bytes. */
export interface ContainerLimits {
  readonly entries: number
  readonly caseBytes: number
  readonly meshBytes: number
  readonly totalBytes: number
}

export const defaultLimits: ContainerLimits = {
  entries: 16,
  caseBytes: 8 * 2 ** 20,
  meshBytes: 2 ** 30,
  totalBytes: 2 * 2 ** 30,
}

/** File name ending of a case. */
export const caseExtension = '.floorline'
const caseEntry = 'case.json'
const meshFolder = 'meshes/'
/** Zip keeps no time zone; one fixed date makes equal cases equal bytes. */
const fixedDate = new Date(1980, 0, 1)

/**
 * One zip with `case.json` and the mesh files the case refers to, stored under their hashes. Equal contents give
 * equal bytes. A mesh that is referred to and not given, or does not match its hash, is a failure; the files of the
 * other leg, which was measured when they were read, may be absent.
 */
export async function writeContainer({ document, meshes }: CaseContents): Promise<Result<Uint8Array>> {
  const entries: Zippable = { [caseEntry]: strToU8(caseText(document)) }
  for (const reference of referencesOf(document)) {
    const bytes = meshes.get(reference.sha256)
    if (!bytes) return missing(reference)
    if ((await sha256(bytes)) !== reference.sha256) return mismatch(reference.name)
    entries[`${meshFolder}${reference.sha256}`] = bytes
  }
  for (const hash of document.stance.other?.files ?? []) {
    const bytes = meshes.get(hash)
    if (!bytes) continue
    if ((await sha256(bytes)) !== hash) return mismatch('other leg')
    entries[`${meshFolder}${hash}`] = bytes
  }
  return ok(zipSync(entries, { level: 6, mtime: fixedDate }))
}

/**
 * Reads a container: entry count, names and sizes are checked before anything is unpacked, every mesh against its
 * hash, the case against its schema. Entry names are never used as paths.
 */
export async function readContainer(
  bytes: Uint8Array,
  limits: ContainerLimits = defaultLimits,
): Promise<Result<CaseContents>> {
  const unpacked = unpack(bytes, limits)
  if (!unpacked.ok) return unpacked
  const text = unpacked.value[caseEntry]
  if (!text) return fail('case/syntax', 'This is not a case file: it holds no case.json.', { place: caseEntry })
  const parsed = parseCaseText(strFromU8(text))
  if (!parsed.ok) return parsed
  const meshes = new Map<string, Uint8Array>()
  for (const reference of referencesOf(parsed.value)) {
    const mesh = unpacked.value[`${meshFolder}${reference.sha256}`]
    if (!mesh) return missing(reference)
    if ((await sha256(mesh)) !== reference.sha256) return mismatch(reference.name)
    meshes.set(reference.sha256, mesh)
  }
  for (const hash of parsed.value.stance.other?.files ?? []) {
    const mesh = unpacked.value[`${meshFolder}${hash}`]
    if (!mesh) continue
    if ((await sha256(mesh)) !== hash) return mismatch('other leg')
    meshes.set(hash, mesh)
  }
  return ok({ document: parsed.value, meshes })
}

/** Whether bytes begin like a zip, as every case file does. */
export const looksLikeContainer = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 0x03 && bytes[3] === 0x04

const referencesOf = (document: CaseDocument): readonly MeshReference[] => [
  ...[document.meshes.femur, document.meshes.tibia].filter((r) => r !== null),
  ...companionsOf(document).map(({ file }) => file),
]

const missing = (reference: MeshReference) =>
  fail('case/mesh-missing', `The mesh “${reference.name}” of this case is missing.`, { place: reference.sha256 })

const mismatch = (name: string) =>
  fail('case/hash', `The mesh “${name}” is not the one the case was saved with.`, {
    hint: 'Open the original file again.',
    place: name,
  })

function unpack(bytes: Uint8Array, limits: ContainerLimits): Result<Readonly<Record<string, Uint8Array>>> {
  if (!looksLikeContainer(bytes))
    return fail('case/syntax', 'This is not a case file: it is no zip.', { place: 'byte 0' })
  let entries = 0
  let total = 0
  let refused: string | null = null
  const declared = new Map<string, number>()
  try {
    const unpacked = unzipSync(bytes, {
      filter: ({ name, originalSize, compression }) => {
        entries++
        total += originalSize
        const most = name === caseEntry ? limits.caseBytes : limits.meshBytes
        if (entries > limits.entries) refused = `more than ${limits.entries} entries`
        else if (originalSize > most || total > limits.totalBytes) refused = `an entry or the whole is too large`
        else if (name !== caseEntry && !/^meshes\/[0-9a-f]{64}$/.test(name)) refused = 'an entry that is no mesh'
        else if (declared.has(name)) refused = 'an entry twice'
        else if (compression !== 0 && compression !== 8) refused = 'an unknown kind of packing'
        declared.set(name, originalSize)
        return refused === null
      },
    })
    if (refused !== null)
      return fail('file/too-large', `The case file is refused: it holds ${refused}.`, { place: 'zip' })
    for (const [name, size] of declared)
      if (unpacked[name]?.length !== size) return fail('case/syntax', 'The case file is damaged.', { place: 'zip' })
    return ok(unpacked)
  } catch {
    return fail('case/syntax', 'The case file is damaged: it cannot be unpacked.', { place: 'zip' })
  }
}
