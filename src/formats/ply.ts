import { fail, ok } from '../failure.ts'
import { weld } from '../geometry/weld.ts'
import { plural, type Reading, warning } from './mesh-file.ts'
import { readAsciiPly } from './ply-ascii.ts'
import { readBinaryPly } from './ply-binary.ts'
import { readPlyHeader } from './ply-header.ts'
import { planPly } from './ply-plan.ts'

/**
 * Reads PLY in any of its three encodings, starting with the line `ply` at byte `from`: elements and properties in
 * any order, lists of any type, polygons fanned from their first corner, triangle strips, everything else skipped.
 */
export function* readPly(bytes: Uint8Array, from: number): Reading {
  const header = readPlyHeader(bytes, from)
  if (!header.ok) return header
  const plan = planPly(header.value)
  if (!plan.ok) return plan
  const { encoding, comments } = header.value
  const read = encoding === 'ascii' ? readAsciiPly : readBinaryPly
  const soup = yield* read(bytes, header.value, plan.value)
  if (!soup.ok) return soup
  const { positions, faces, notes } = soup.value
  const leftOver = notes.find(([code]) => code.startsWith('format/trailing'))
  if (leftOver !== undefined && (faces.tooSmall > 0 || notes.length > 1)) {
    return fail(
      'format/count',
      `The header's counts do not fit the data: odd faces or columns, and ${decapitalised(leftOver[1])}`,
      {
        hint: 'A count is wrong or the file is damaged; export it again.',
        place: 'header',
      },
    )
  }
  const triangles = faces.corners.values()
  const welded = weld({ positions, triangles })
  const warnings = [...plan.value.warnings, ...notes.map(([code, message]) => warning(code, message))]
  if (faces.tooSmall > 0) {
    const message = `${plural(faces.tooSmall, 'face')} with fewer than three corners left out.`
    warnings.push(warning('format/small-faces', message))
  }
  return ok({
    format: `PLY ${encoding}` as const,
    mesh: welded.mesh,
    declaredTriangles: triangles.length / 3,
    declaredVertices: plan.value.vertices,
    droppedTriangles: welded.droppedTriangles,
    comments,
    warnings,
  })
}

const decapitalised = (sentence: string): string => sentence.charAt(0).toLowerCase() + sentence.slice(1)
