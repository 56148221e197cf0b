import { fail, ok, type Result } from '../failure.ts'
import { decodeText } from './text-scanner.ts'

export type PlyType = 'i1' | 'u1' | 'i2' | 'u2' | 'i4' | 'u4' | 'f4' | 'f8'
export type PlyEncoding = 'ascii' | 'little_endian' | 'big_endian'

export interface PlyProperty {
  readonly name: string
  readonly type: PlyType
  /** The type of a list's count; null for a single value. */
  readonly countType: PlyType | null
}

export interface PlyElement {
  readonly name: string
  readonly count: number
  readonly properties: readonly PlyProperty[]
}

export interface PlyHeader {
  readonly encoding: PlyEncoding
  readonly version: string
  readonly elements: readonly PlyElement[]
  readonly comments: readonly string[]
  /** First byte of the data, and the line it stands on. */
  readonly dataAt: number
  readonly dataLine: number
}

export const PLY_BYTES: Readonly<Record<PlyType, number>> = { i1: 1, u1: 1, i2: 2, u2: 2, i4: 4, u4: 4, f4: 4, f8: 8 }

const TYPE_NAMES: ReadonlyMap<string, PlyType> = new Map([
  ['char', 'i1'],
  ['int8', 'i1'],
  ['uchar', 'u1'],
  ['uint8', 'u1'],
  ['short', 'i2'],
  ['int16', 'i2'],
  ['ushort', 'u2'],
  ['uint16', 'u2'],
  ['int', 'i4'],
  ['int32', 'i4'],
  ['uint', 'u4'],
  ['uint32', 'u4'],
  ['float', 'f4'],
  ['float32', 'f4'],
  ['double', 'f8'],
  ['float64', 'f8'],
])

const ENCODINGS: ReadonlyMap<string, PlyEncoding> = new Map([
  ['ascii', 'ascii'],
  ['binary_little_endian', 'little_endian'],
  ['binary_big_endian', 'big_endian'],
])

/** No header of a surface is longer; it keeps a file that is no PLY from being searched to its end. */
const LONGEST_HEADER = 1 << 20
const MOST_DECLARATIONS = 1000

/** Reads the text at the head of a PLY file, which starts at byte `from` with the line `ply`. */
export function readPlyHeader(bytes: Uint8Array, from: number): Result<PlyHeader> {
  const lines = new HeaderLines(bytes, from)
  const elements: (PlyElement & { properties: PlyProperty[] })[] = []
  const comments: string[] = []
  let encoding: PlyEncoding | null = null
  let version = ''
  let declarations = 0
  const bad = (message: string) =>
    fail('format/syntax', `${message} (header line ${lines.line}).`, { place: `line ${lines.line}` })
  lines.next()
  while (lines.next()) {
    const [keyword = '', ...words] = lines.words()
    switch (keyword.toLowerCase()) {
      case '':
        break
      case 'comment':
      case 'obj_info':
        if (comments.length < MOST_DECLARATIONS) comments.push(words.join(' '))
        break
      case 'format': {
        if (encoding !== null) return bad('The format is given twice')
        encoding = ENCODINGS.get(words[0]?.toLowerCase() ?? '') ?? null
        version = words[1] ?? ''
        if (encoding === null) {
          return fail('format/unsupported', `"${words[0] ?? ''}" is no PLY encoding (header line ${lines.line}).`, {
            hint: 'Encodings are ascii, binary_little_endian and binary_big_endian.',
            place: `line ${lines.line}`,
          })
        }
        break
      }
      case 'element': {
        const name = words[0]
        const count = wholeNumber(words[1])
        if (name === undefined) return bad('An element has no name')
        if (count === null) {
          return fail(
            'format/count',
            `The number of "${name}" elements is "${words[1] ?? ''}" (header line ${lines.line}).`,
            {
              place: `line ${lines.line}`,
            },
          )
        }
        if (elements.some((e) => e.name === name)) return bad(`Element "${name}" is declared twice`)
        if (++declarations > MOST_DECLARATIONS) return bad('Too many declarations')
        elements.push({ name, count, properties: [] })
        break
      }
      case 'property': {
        const element = elements.at(-1)
        if (element === undefined) return bad('A property stands before the first element')
        const property = readProperty(words)
        if (typeof property === 'string') return bad(property)
        if (element.properties.some((p) => p.name === property.name)) {
          return bad(`Property "${property.name}" of "${element.name}" is declared twice`)
        }
        if (++declarations > MOST_DECLARATIONS) return bad('Too many declarations')
        element.properties.push(property)
        break
      }
      case 'end_header':
        if (encoding === null) return bad('The header ends without a format line')
        return ok({ encoding, version, elements, comments, dataAt: lines.at, dataLine: lines.line + 1 })
      default:
        return bad(`"${keyword.slice(0, 40)}" is no word of a PLY header`)
    }
  }
  return fail('format/truncated', `The PLY header does not end (no end_header up to line ${lines.line}).`, {
    hint: 'The file looks cut off; copy or export it again.',
    place: `line ${lines.line}`,
  })
}

function readProperty(words: readonly string[]): PlyProperty | string {
  const isList = words[0]?.toLowerCase() === 'list'
  const [typeName, name] = isList ? words.slice(2) : words
  const type = TYPE_NAMES.get(typeName?.toLowerCase() ?? '')
  const countType = isList ? TYPE_NAMES.get(words[1]?.toLowerCase() ?? '') : null
  if (type === undefined) return `"${typeName ?? ''}" is no PLY type`
  if (countType === undefined) return `"${words[1] ?? ''}" is no PLY type`
  if (name === undefined) return 'A property has no name'
  return { name, type, countType }
}

function wholeNumber(text: string | undefined): number | null {
  if (text === undefined || !/^\+?\d{1,15}$/.test(text)) return null
  return Number(text)
}

/** Lines of the header. A file whose first line ends in a lone CR has lone CRs throughout; others end lines with LF. */
class HeaderLines {
  /** First byte after the current line's break. */
  at: number
  line = 0
  private readonly bytes: Uint8Array
  private readonly lineBreak: number
  private readonly end: number
  private start = 0
  private stop = 0

  constructor(bytes: Uint8Array, from: number) {
    this.bytes = bytes
    this.at = from
    this.end = Math.min(bytes.length, from + LONGEST_HEADER)
    let i = from
    while (i < this.end && bytes[i] !== 10 && bytes[i] !== 13) i++
    this.lineBreak = bytes[i] === 13 && bytes[i + 1] !== 10 ? 13 : 10
  }

  next(): boolean {
    if (this.at >= this.end) return false
    this.start = this.at
    let i = this.at
    while (i < this.end && this.bytes[i] !== this.lineBreak) i++
    this.stop = i
    this.at = Math.min(i + 1, this.end)
    this.line++
    return true
  }

  words(): string[] {
    return decodeText(this.bytes.subarray(this.start, Math.min(this.stop, this.start + 2000))).split(/\s+/)
  }
}
