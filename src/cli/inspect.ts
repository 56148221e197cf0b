import { fileParts } from '../anatomy/file-parts.ts'
import { type BoneGuess, guessBone } from '../anatomy/guess-bone.ts'
import { partWords } from '../anatomy/recognise-companion.ts'
import type { BoneName, CompanionName, Side } from '../anatomy/terms.ts'
import { caution } from '../casefile/program.ts'
import { ok, type Result } from '../failure.ts'
import { type FileInspection, inspectFile, inspectMesh } from '../formats/inspect.ts'
import { readMesh } from '../formats/read.ts'
import { makeBone } from '../geometry/bone.ts'
import { meshHealth } from '../geometry/health.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { scaleMesh } from '../geometry/transform.ts'
import { MM_PER_UNIT } from '../geometry/units.ts'
import { shown } from '../report/numbers.ts'
import { readBytes } from './files.ts'
import { headLine } from './findings-text.ts'
import { wrapped } from './text-table.ts'

export interface InspectedFile extends FileInspection {
  readonly boneGuess: BoneName | 'unknown'
  readonly sideGuess: Side | 'unknown'
  /** Where it shows no knee: the part that carries a joint centre; else null. */
  readonly companionGuess: CompanionName | null
  /** How sure bone and part are, 0…1. */
  readonly confidence: number
  /** Where the file holds several parts of a leg: each by its rank of area; else none. */
  readonly parts: readonly (BoneGuess & { readonly rank: number })[]
}

export interface Inspection {
  readonly schema: 'floorline.inspect/1'
  readonly caution: string
  readonly files: readonly InspectedFile[]
}

/** Reads every file and says what it is; a file that cannot be used is an entry with its failure. */
export function inspectPaths(paths: readonly string[], onFile: (path: string) => void): Inspection {
  return {
    schema: 'floorline.inspect/1',
    caution,
    files: paths.map((path) => {
      onFile(path)
      return inspectPath(path)
    }),
  }
}

function inspectPath(path: string): InspectedFile {
  const bytes = readBytes(path)
  const read = bytes.ok ? readMesh(bytes.value, path) : bytes
  if (!read.ok) return { ...inspectFile(read, path), ...nothing }
  const health = meshHealth(read.value.mesh)
  const first = inspectMesh(read.value, path, health)
  const guess = guessOf(read.value.mesh, first)
  if (!guess.ok) return { ...first, ...nothing }
  const { bone, side, companion, confidence } = guess.value
  const entry = inspectMesh(read.value, path, health, bone)
  const parts = health.pieces > 1 ? fileParts(inMm(read.value.mesh, first)) : []
  const several = parts.map(({ rank, guess: part }) => ({ rank, ...part }))
  if (several.length > 0) return { ...entry, ...nothing, parts: several }
  return { ...entry, boneGuess: bone, sideGuess: side, companionGuess: companion, confidence, parts: [] }
}

const nothing = { boneGuess: 'unknown', sideGuess: 'unknown', companionGuess: null, confidence: 0, parts: [] } as const

function guessOf(mesh: Mesh, inspected: FileInspection): Result<BoneGuess> {
  const bone = makeBone(inMm(mesh, inspected))
  return bone.ok ? ok(guessBone(bone.value)) : bone
}

function inMm(mesh: Mesh, { unitGuess }: FileInspection): Mesh {
  const factor = unitGuess === 'unknown' ? 1 : MM_PER_UNIT[unitGuess]
  return factor === 1 ? mesh : scaleMesh(mesh, factor)
}

/** The inspection for a terminal. */
export function inspectionText({ files }: Inspection): string {
  return headLine() + files.map(fileText).join('\n')
}

function fileText(entry: InspectedFile): string {
  const lines = [`${entry.file}\n`]
  if (entry.failure) {
    const { code, message, hint, place } = entry.failure
    lines.push(wrapped(`cannot be used: ${message}${place === null ? '' : ` (${place})`} [${code}]`))
    if (hint !== null) lines.push(wrapped(`what to do: ${hint}`))
    return lines.join('')
  }
  const surface = entry.closed ? 'closed' : `open (${entry.boundaryEdges} boundary edges)`
  const facts = [
    ['format', entry.format ?? ''],
    ['taken for', `${takenFor(entry)}, side ${entry.sideGuess}, unit ${entry.unitGuess}`],
    [
      'triangles',
      `${entry.triangles}, ${entry.vertices} vertices, ${entry.pieces} ${entry.pieces === 1 ? 'piece' : 'pieces'}`,
    ],
    ['surface', `${surface}, wound ${entry.orientation}, ${entry.nonManifoldEdges} non-manifold edges`],
    ['volume', entry.volumeMm3 === null ? 'withheld' : `${shown(entry.volumeMm3, 'cm3')} cm³`],
    ['area', entry.areaMm2 === null ? 'withheld' : `${(entry.areaMm2 / 100).toFixed(1)} cm²`],
    [
      'box',
      entry.boxMm === null
        ? '–'
        : entry.boxMm.map((corner) => corner.map((c) => shown(c, 'mm')).join(', ')).join('  to  '),
    ],
  ]
  for (const [what, value] of facts) lines.push(`  ${(what ?? '').padEnd(11)}${value}\n`)
  for (const warning of entry.warnings) lines.push(wrapped(`† ${warning.message}`))
  return lines.join('')
}

function takenFor({ boneGuess, companionGuess, confidence, parts }: InspectedFile): string {
  if (parts.length > 0) {
    const each = parts.map(({ bone, companion }) => (companion ? partWords[companion] : `a ${bone}`))
    return `${parts.length} parts of a leg: ${each.join(', ')}`
  }
  const what = companionGuess === null ? boneGuess : `${partWords[companionGuess]} without a knee’s end`
  return confidence > 0 ? `${what} (${shown(confidence, 'percent')} % sure)` : what
}
