import { fail, ok, type Result } from '../failure.ts'
import { startOfText } from './stl-ascii.ts'
import { isBigEndianStl } from './stl-binary.ts'
import { decodeText, TextScanner } from './text-scanner.ts'

export type FileKind = 'ply' | 'ascii-stl' | 'binary-stl'

const HEAD_BYTES = 84
const FACET_BYTES = 50
/** How much of a file is looked at to tell text from binary. */
const SAMPLE_BYTES = 1024

/** Tells from its content how a file is to be read; the name serves only where the content says nothing. */
export function kindOf(bytes: Uint8Array, name: string): Result<FileKind> {
  if (bytes.length === 0) {
    return fail('format/empty', 'The file is empty (0 bytes).', { hint: 'Copy or export it again.', place: 'byte 0' })
  }
  if (bytes.length >= HEAD_BYTES) {
    const count = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true)
    // The size decides before any word: some binary files begin with "solid".
    const fits = bytes.length === HEAD_BYTES + FACET_BYTES * count || isBigEndianStl(bytes)
    if (fits && !startsWithPly(bytes)) return ok('binary-stl')
  }
  if (startsWithPly(bytes)) return ok('ply')
  const other = otherKind(bytes)
  if (other !== null) {
    return fail('format/unsupported', `This is ${other}, not STL or PLY.`, {
      hint: 'Export the surface as STL or PLY.',
      place: 'byte 0',
    })
  }
  const sample = bytes.subarray(0, SAMPLE_BYTES)
  const scanner = new TextScanner(bytes, startOfText(bytes), 1, sample.length)
  if (!scanner.next()) {
    if (bytes.every((b) => b === 32 || (b >= 9 && b <= 13))) {
      return fail('format/empty', 'The file holds only blanks.', { hint: 'Copy or export it again.', place: 'byte 0' })
    }
  } else if (scanner.is('solid') || scanner.is('facet')) {
    const text = decodeText(sample)
    if (!sample.includes(0) || /facet\s+normal\s[\s\S]*vertex\s/i.test(text)) return ok('ascii-stl')
  }
  const isBinary = sample.some((b) => b < 9 || (b > 13 && b < 32)) || !isText(sample)
  if (isBinary && (bytes.length >= HEAD_BYTES || /\.stl$/i.test(name))) return ok('binary-stl')
  return fail(
    'format/unknown',
    isBinary ? 'These bytes are neither STL nor PLY.' : `This text is no mesh: it begins with "${firstWord(bytes)}".`,
    { hint: 'ASCII STL begins with "solid", PLY with "ply".', place: isBinary ? 'byte 0' : 'line 1' },
  )
}

function startsWithPly(bytes: Uint8Array): boolean {
  const at = startOfText(bytes)
  return (
    (bytes[at]! | 32) === 112 &&
    (bytes[at + 1]! | 32) === 108 &&
    (bytes[at + 2]! | 32) === 121 &&
    (bytes[at + 3] === undefined || bytes[at + 3]! <= 32)
  )
}

function firstWord(bytes: Uint8Array): string {
  const scanner = new TextScanner(bytes, startOfText(bytes))
  scanner.next()
  return scanner.text()
}

function isText(sample: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(sample, { stream: true })
    return true
  } catch {
    return false
  }
}

/** Files that come along with the wrong ending, by their first bytes. */
function otherKind(bytes: Uint8Array): string | null {
  const starts = (...head: number[]) => head.every((b, i) => bytes[i] === b)
  if (starts(0x1f, 0x8b)) return 'a gzip archive'
  if (starts(0x50, 0x4b, 0x03, 0x04)) return 'a zip archive'
  if (starts(0xff, 0xfe) || starts(0xfe, 0xff)) return 'UTF-16 text'
  const head = decodeText(bytes.subarray(0, 200)).toLowerCase()
  if (head.startsWith('version https://git-lfs')) return 'a pointer to a file that was not fetched (Git LFS)'
  if (head.startsWith('<!doctype html') || head.startsWith('<html')) return 'a web page'
  if (head.startsWith('<?xml')) return 'an XML document'
  if (head.startsWith('# vtk datafile')) return 'a VTK data file'
  if (/^off\b/.test(head)) return 'an OFF mesh'
  return null
}
