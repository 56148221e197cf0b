/** One input of a fuzz run: a seed file changed one to four times, the same for the same random numbers. */
export function mutated(seeds: readonly Uint8Array[], random: () => number): { bytes: Uint8Array; how: string } {
  let bytes: Uint8Array = pick(seeds, random).slice()
  const how: string[] = []
  for (let n = 1 + below(4, random); n > 0; n--) {
    const [name, change] = pick(CHANGES, random)
    bytes = change(bytes, random, seeds)
    how.push(name)
  }
  return { bytes, how: how.join(' + ') }
}

type Change = (bytes: Uint8Array, random: () => number, seeds: readonly Uint8Array[]) => Uint8Array

const below = (n: number, random: () => number): number => Math.floor(n * random())
const pick = <T>(list: readonly T[], random: () => number): T => list[below(list.length, random)]!
const join = (...parts: Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(parts))
const text = (s: string): Uint8Array => new TextEncoder().encode(s)

const ODD_BYTES = [0, 1, 9, 10, 13, 32, 0x2d, 0x2e, 0x39, 0x65, 0x7f, 0x80, 0xc0, 0xff]
const ODD_WORDS = [0, 1, 2, 0x7fffffff, 0x80000000, 0xffffffff, 0x7f800000, 0x7fc00000, 0xff800000, 0x00000001, 0x10000]
const ODD_NUMBERS = [
  '-1',
  '0',
  '999999999999',
  '4294967295',
  '2147483648',
  'nan',
  '-inf',
  '1e400',
  '1e-400',
  '3.5',
  '',
  'x',
]
const ODD_LINES = [
  'element vertex 4294967295',
  'element face 1000000000000000',
  'element nothing 999999999999999',
  'property list double double vertex_indices',
  'property list uchar int vertex_indices',
  'property double x',
  'end_header',
  'format binary_big_endian 1.0',
  'comment',
  'solid',
  'endsolid',
  'facet normal 0 0 0',
  'outer loop',
  'vertex 1 2 3',
  'endloop',
  'endfacet',
]

const CHANGES: readonly (readonly [string, Change])[] = [
  [
    'flip bits',
    (b, r) => {
      for (let n = 1 + below(16, r); n > 0 && b.length > 0; n--) b[below(b.length, r)]! ^= 1 << below(8, r)
      return b
    },
  ],
  [
    'odd bytes',
    (b, r) => {
      for (let n = 1 + below(8, r); n > 0 && b.length > 0; n--) b[below(b.length, r)] = pick(ODD_BYTES, r)
      return b
    },
  ],
  [
    'odd word',
    (b, r) => {
      if (b.length < 4) return b
      const at = below(b.length - 3, r)
      new DataView(b.buffer, b.byteOffset, b.length).setUint32(at, pick(ODD_WORDS, r), r() < 0.5)
      return b
    },
  ],
  [
    'count at byte 80',
    (b, r) => {
      if (b.length >= 84)
        new DataView(b.buffer, b.byteOffset, b.length).setUint32(80, below(2 ** (1 + below(32, r)), r), true)
      return b
    },
  ],
  ['cut', (b, r) => b.slice(0, below(b.length + 1, r))],
  ['cut the head off', (b, r) => b.slice(below(Math.min(200, b.length + 1), r))],
  [
    'delete a stretch',
    (b, r) => {
      const at = below(b.length + 1, r)
      return join(b.subarray(0, at), b.subarray(at + below(100, r)))
    },
  ],
  [
    'repeat a stretch',
    (b, r) => {
      const at = below(b.length + 1, r)
      const piece = b.subarray(at, at + 1 + below(200, r))
      return join(b.subarray(0, at), ...Array.from({ length: 1 + below(40, r) }, () => piece), b.subarray(at))
    },
  ],
  ['append zeros', (b, r) => join(b, new Uint8Array(below(300, r)))],
  ['append noise', (b, r) => join(b, noise(below(300, r), r))],
  ['join two', (b, r, seeds) => join(b, pick(seeds, r))],
  [
    'splice the head of another',
    (b, r, seeds) => {
      const other = pick(seeds, r)
      return join(other.subarray(0, below(Math.min(600, other.length + 1), r)), b.subarray(below(b.length + 1, r)))
    },
  ],
  [
    'odd numbers in the text',
    (b, r) => edited(b, (s) => s.replace(/-?\d[\d.e+-]*/g, (w) => (r() < 0.1 ? pick(ODD_NUMBERS, r) : w))),
  ],
  [
    'odd line in the text',
    (b, r) =>
      edited(b, (s) => {
        const lines = s.split('\n')
        lines.splice(below(Math.min(lines.length + 1, 40), r), r() < 0.5 ? 1 : 0, pick(ODD_LINES, r))
        return lines.join('\n')
      }),
  ],
  [
    'swap lines of the text',
    (b, r) =>
      edited(b, (s) => {
        const lines = s.split('\n')
        const i = below(Math.min(lines.length, 30), r)
        const j = below(Math.min(lines.length, 30), r)
        ;[lines[i], lines[j]] = [lines[j]!, lines[i]!]
        return lines.join('\n')
      }),
  ],
  ['other line ends', (b, r) => edited(b, (s) => s.replaceAll('\n', pick(['\r\n', '\r', ' ', '\n\n'], r)))],
  ['another case', (b, r) => edited(b, (s) => (r() < 0.5 ? s.toUpperCase() : s.toLowerCase()))],
  ['text conversion', (b) => new Uint8Array(Buffer.from(Buffer.from(b).toString('utf8'), 'utf8'))],
  [
    'noise only',
    (b, r) =>
      join(
        r() < 0.5 ? text(pick(['ply\n', 'solid\n', 'ply\r\nformat ascii 1.0\r\n'], r)) : b.subarray(0, 0),
        noise(below(2000, r), r),
      ),
  ],
]

const noise = (length: number, random: () => number): Uint8Array =>
  Uint8Array.from({ length }, () => below(256, random))

/** Edits bytes as Latin-1 text, which loses none of them. */
const edited = (bytes: Uint8Array, edit: (s: string) => string): Uint8Array =>
  new Uint8Array(Buffer.from(edit(Buffer.from(bytes).toString('latin1')), 'latin1'))
