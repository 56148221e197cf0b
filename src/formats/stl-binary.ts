import { fail, ok, type Result, type Warning } from '../failure.ts'
import { dropRepeatedCorners } from '../geometry/weld.ts'
import { FloatVertexTable } from './float-vertex-table.ts'
import { CHUNK_BYTES, plural, type Reading, warning } from './mesh-file.ts'
import { decodeText } from './text-scanner.ts'

const HEAD_BYTES = 84
const FACET_BYTES = 50

/** Whether the size fits the count at byte 80 when that is read in reverse byte order, and only then. */
export function isBigEndianStl(bytes: Uint8Array): boolean {
  if (bytes.length <= HEAD_BYTES) return false
  const view = new DataView(bytes.buffer, bytes.byteOffset)
  const fits = (little: boolean) => bytes.length === HEAD_BYTES + FACET_BYTES * view.getUint32(80, little)
  return fits(false) && !fits(true)
}

/** One STL within the bytes: joined files hold several. */
interface Part {
  readonly firstFacet: number
  readonly count: number
}

/**
 * Reads binary STL: an 80-byte header (any text, `solid` too), a little-endian count, and 50 bytes per facet. Stored
 * normals and attribute bytes are not used. The count must agree with the file's size: a count that promises more
 * than the bytes hold, or leaves whole facets over, is refused; files joined end to end are read as one.
 */
export function* readBinaryStl(bytes: Uint8Array): Reading {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const little = !isBigEndianStl(bytes)
  const layout = layOut(bytes, view, little)
  if (!layout.ok) return layout
  const { parts, warnings } = layout.value
  const total = parts.reduce((sum, part) => sum + part.count, 0)
  const corners = new Uint32Array(3 * total)
  const table = new FloatVertexTable(Math.ceil(total / 2) + 16)
  const facetsPerChunk = Math.floor(CHUNK_BYTES / FACET_BYTES)
  let done = 0
  for (const part of parts) {
    for (let first = 0; first < part.count; first += facetsPerChunk) {
      const count = Math.min(facetsPerChunk, part.count - first)
      const bad = takeFacets(view, little, part.firstFacet + first * FACET_BYTES, count, table, corners, 3 * done)
      if (bad >= 0) return nonFinite(done + Math.floor(bad / 3), bad % 3, part.firstFacet + first * FACET_BYTES, bad)
      done += count
      yield done / total
    }
  }
  const { mesh, droppedTriangles } = dropRepeatedCorners({ positions: table.positions(), triangles: corners })
  const header = decodeText(bytes.subarray(0, 80))
  return ok({
    format: 'STL binary',
    mesh,
    declaredTriangles: total,
    declaredVertices: 3 * total,
    droppedTriangles,
    comments: header === '' ? [] : [header],
    warnings,
  })
}

/** Reads `count` facets into the table; the corner number (0…3·count−1) of the first non-finite vertex, or −1. */
function takeFacets(
  view: DataView,
  little: boolean,
  from: number,
  count: number,
  table: FloatVertexTable,
  corners: Uint32Array,
  firstCorner: number,
): number {
  let corner = firstCorner
  let at = from + 12
  for (let facet = 0; facet < count; facet++, at += FACET_BYTES) {
    for (let k = 0; k < 36; k += 12) {
      const x = view.getUint32(at + k, little)
      const y = view.getUint32(at + k + 4, little)
      const z = view.getUint32(at + k + 8, little)
      if (isNotFinite(x) || isNotFinite(y) || isNotFinite(z)) return corner - firstCorner
      corners[corner++] = table.add(x, y, z)
    }
  }
  return -1
}

/** An exponent of all ones: infinity or not a number. */
const isNotFinite = (word: number): boolean => (word & 0x7f800000) === 0x7f800000

function nonFinite(facet: number, vertex: number, chunkByte: number, corner: number) {
  const byte = chunkByte + Math.floor(corner / 3) * FACET_BYTES + 12 + 12 * vertex
  return fail('format/non-finite', `Vertex ${vertex + 1} of triangle ${facet + 1} is not a finite number.`, {
    hint: 'Export the surface again; one such vertex spoils every volume.',
    place: `triangle ${facet + 1}, byte ${byte}`,
  })
}

/** Finds the facets, checked against the size before anything is allocated. */
function layOut(bytes: Uint8Array, view: DataView, little: boolean): Result<{ parts: Part[]; warnings: Warning[] }> {
  const size = bytes.length
  if (size < HEAD_BYTES) {
    return fail('format/truncated', `A binary STL needs at least 84 bytes; this file has ${size}.`, {
      hint: 'The file looks cut off; copy or export it again.',
      place: `byte ${size}`,
    })
  }
  const parts: Part[] = []
  const warnings: Warning[] = []
  if (!little) {
    const message = 'The bytes of this STL are in reverse order (big-endian), which the format does not provide for.'
    return ok({
      parts: [{ firstFacet: HEAD_BYTES, count: view.getUint32(80, false) }],
      warnings: [warning('format/byte-order', message)],
    })
  }
  let at = 0
  for (;;) {
    const count = view.getUint32(at + 80, true)
    const end = at + HEAD_BYTES + FACET_BYTES * count
    if (end > size || (count === 0 && size - end >= FACET_BYTES)) {
      if (at > 0) return leftOver(bytes, parts, warnings, at)
      return damagedByText(bytes) ?? wrongCount(size, count)
    }
    parts.push({ firstFacet: at + HEAD_BYTES, count })
    if (end === size) break
    if (size - end < HEAD_BYTES || !isWholeStl(view, end)) return leftOver(bytes, parts, warnings, end)
    at = end
  }
  if (parts.length > 1) {
    warnings.push(warning('format/joined', `${parts.length} binary STL files are joined end to end; all were read.`))
  }
  return ok({ parts, warnings })
}

/** Whether the bytes from `at` on are one or more complete binary STLs with facets. */
function isWholeStl(view: DataView, at: number): boolean {
  const size = view.byteLength
  let from = at
  while (from + HEAD_BYTES <= size) {
    const count = view.getUint32(from + 80, true)
    if (count === 0) return false
    from += HEAD_BYTES + FACET_BYTES * count
    if (from === size) return true
  }
  return false
}

/** What to make of bytes after the last declared facet. */
function leftOver(
  bytes: Uint8Array,
  parts: Part[],
  warnings: Warning[],
  end: number,
): Result<{ parts: Part[]; warnings: Warning[] }> {
  const rest = bytes.subarray(end)
  const damaged = damagedByText(bytes)
  if (damaged !== null) return damaged
  const declared = parts.reduce((sum, part) => sum + part.count, 0)
  const filled = rest.some((b) => b !== 0)
  if (filled && rest.length % FACET_BYTES === 0) {
    const held = declared + rest.length / FACET_BYTES
    return fail(
      'format/count',
      `The header declares ${plural(declared, 'triangle')}, but the file holds ${held}: it is unclear which of them belong to the surface.`,
      { hint: 'Export the file again.', place: 'byte 80' },
    )
  }
  const what = filled ? '' : ' zero'
  warnings.push(
    warning(
      'format/trailing-bytes',
      `${plural(rest.length, `${what} byte`.trim())} after the last declared triangle, from byte ${end}, left unread.`,
    ),
  )
  return ok({ parts, warnings })
}

function wrongCount(size: number, declared: number): Result<never> {
  const held = Math.floor((size - HEAD_BYTES) / FACET_BYTES)
  const whole = (size - HEAD_BYTES) % FACET_BYTES === 0
  const sentence = `The header declares ${plural(declared, 'triangle')}; ${size} bytes hold ${whole ? '' : 'only '}${held}.`
  if (whole && held > 0) {
    return fail('format/count', sentence, {
      hint: 'Either the count is wrong or the file is cut off; export it again.',
      place: 'byte 80',
    })
  }
  // A count far beyond the file is no cut-off copy; it is a wrong number.
  const code = declared > 1000 && held * 1000 < declared ? 'format/count' : 'format/truncated'
  return fail(code, sentence, { hint: 'The file looks cut off; copy or export it again.', place: `byte ${size}` })
}

/**
 * A binary file that went through a text tool: its bytes above 127 became UTF-8 sequences (`EF BF BD` most often) or
 * its line feeds became CR LF. Coordinates are lost or shifted; there is nothing to read. null: no such sign.
 */
function damagedByText(bytes: Uint8Array): ReturnType<typeof fail> | null {
  const body = bytes.subarray(HEAD_BYTES)
  const firstHigh = body.findIndex((b) => b >= 0x80)
  if (firstHigh >= 0 && isUtf8(body)) {
    return fail(
      'format/syntax',
      'This binary STL was damaged by a text conversion: its bytes above 127 were re-encoded, so coordinates are lost.',
      { hint: 'Get the original file; transfer it as binary.', place: `byte ${HEAD_BYTES + firstHigh}` },
    )
  }
  let feeds = 0
  let pairs = 0
  let firstPair = -1
  for (let i = HEAD_BYTES; i < bytes.length; i++) {
    if (bytes[i] !== 10) continue
    feeds++
    if (bytes[i - 1] !== 13) continue
    pairs++
    if (firstPair < 0) firstPair = i - 1
  }
  const count = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true)
  if (pairs > 0 && pairs === feeds && bytes.length - pairs === HEAD_BYTES + FACET_BYTES * count) {
    return fail(
      'format/syntax',
      'This binary STL was damaged by a text conversion: every line feed byte became two bytes.',
      { hint: 'Get the original file; transfer it as binary.', place: `byte ${firstPair}` },
    )
  }
  return null
}

function isUtf8(bytes: Uint8Array): boolean {
  // A cut in the middle of a sequence at the very end does not speak against UTF-8.
  const decoder = new TextDecoder('utf-8', { fatal: true })
  try {
    for (let at = 0; at < bytes.length; at += 1 << 16)
      decoder.decode(bytes.subarray(at, at + (1 << 16)), { stream: true })
    return true
  } catch {
    return false
  }
}
