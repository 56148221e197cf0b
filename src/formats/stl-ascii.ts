import { fail, ok, type Result, type Warning } from '../failure.ts'
import { VertexTable } from '../geometry/vertex-table.ts'
import { dropRepeatedCorners } from '../geometry/weld.ts'
import { GrowingIndices } from './growing-indices.ts'
import { CHUNK_BYTES, plural, type Reading, warning } from './mesh-file.ts'
import { TextScanner } from './text-scanner.ts'

/**
 * Reads ASCII STL: any letter case, any line ends, any number of solids, joined files, names of many words. Stored
 * normals are not used, so a missing or odd one does no harm. A facet must have three vertices. A missing `endsolid`
 * is a warning (the file may be cut between two facets); an end within a facet is a failure.
 */
export function* readAsciiStl(bytes: Uint8Array): Reading {
  const solids = new SolidReader(new TextScanner(bytes, startOfText(bytes)))
  let reached: 'chunk' | 'end' = 'chunk'
  while (reached === 'chunk') {
    const step = solids.read(CHUNK_BYTES)
    if (!step.ok) return step
    reached = step.value
    yield solids.scanner.at / Math.max(1, bytes.length)
  }
  const { facets, names } = solids
  if (facets === 0 && !solids.hasEnded()) {
    return fail('format/truncated', 'The file ends after its solid line: no facet and no endsolid.', {
      hint: 'The text is cut off or no ASCII STL; export the surface again.',
      place: `line ${solids.scanner.line}`,
    })
  }
  const { mesh, droppedTriangles } = dropRepeatedCorners({
    positions: solids.table.positions(),
    triangles: solids.corners.values(),
  })
  return ok({
    format: 'STL ascii',
    mesh,
    declaredTriangles: facets,
    declaredVertices: 3 * facets,
    droppedTriangles,
    comments: names,
    warnings: solids.warnings(),
  })
}

/** Past a byte order mark. */
export const startOfText = (bytes: Uint8Array): number =>
  bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0

class SolidReader {
  readonly scanner: TextScanner
  readonly table = new VertexTable()
  readonly corners = new GrowingIndices()
  readonly names: string[] = []
  facets = 0
  private solids = 0
  private open = false
  private oddNormals = 0
  private outside = 0
  private readonly vertex: [number, number, number] = [0, 0, 0]

  constructor(scanner: TextScanner) {
    this.scanner = scanner
  }

  /** Reads solids and facets until the end, or until about `bytes` more have been taken. */
  read(bytes: number): Result<'chunk' | 'end'> {
    const s = this.scanner
    const stop = s.at + bytes
    while (s.at < stop) {
      if (!s.next()) return ok('end')
      if (s.is('facet')) {
        const failure = this.facet()
        if (failure !== null) return failure
      } else if (s.is('solid')) {
        this.solids++
        this.open = true
        this.name()
      } else if (s.is('endsolid')) {
        this.open = false
        this.skipName()
      } else if (s.is('end') && this.nextIs('solid')) {
        this.open = false
        this.skipName()
      } else if (s.is('color') || s.is('colour') || s.bytes[s.tokenStart] === 35) {
        s.restOfLine()
      } else {
        return this.unexpected('facet or endsolid')
      }
    }
    return ok('chunk')
  }

  /** Whether the last solid was closed by an endsolid. */
  hasEnded(): boolean {
    return !this.open
  }

  warnings(): Warning[] {
    const list: Warning[] = []
    if (this.open) {
      list.push(
        warning(
          'format/missing-endsolid',
          `The file ends without endsolid (line ${this.scanner.line}): it may be cut off, though no facet is cut in two.`,
        ),
      )
    }
    if (this.solids > 1) list.push(warning('format/several-solids', `${this.solids} solids were read as one surface.`))
    if (this.outside > 0) {
      list.push(
        warning('format/no-solid-line', `${plural(this.outside, 'facet')} outside of any solid, read all the same.`),
      )
    }
    if (this.oddNormals > 0) {
      list.push(
        warning(
          'format/odd-normals',
          `${plural(this.oddNormals, 'facet normal')} missing or not three finite numbers; normals are taken from the vertices.`,
        ),
      )
    }
    return list
  }

  private facet(): ReturnType<typeof fail> | null {
    const s = this.scanner
    if (!this.open) this.outside++
    const line = s.line
    let found = s.next()
    let numbers = 0
    if (found && s.is('normal')) {
      found = s.next()
      for (let words = 0; found && words < 4 && !s.is('outer'); words++) {
        if (isKeyword(s)) return this.unexpected('outer loop')
        if (s.number() === 'finite') numbers++
        found = s.next()
      }
    }
    if (numbers !== 3) this.oddNormals++
    if (!found) return this.cut(line)
    if (!s.is('outer')) return this.unexpected('outer loop')
    if (!this.nextIs('loop')) return this.unexpected('loop')
    let vertices = 0
    for (;;) {
      if (!s.next()) return this.cut(line)
      if (!s.is('vertex')) break
      const failure = this.readVertex(line)
      if (failure !== null) return failure
      vertices++
      if (vertices <= 3) this.corners.push(this.table.add(this.vertex[0], this.vertex[1], this.vertex[2]))
    }
    if (vertices !== 3) {
      return fail(
        'format/syntax',
        `The facet on line ${line} has ${plural(vertices, 'vertex', 'vertices')}; STL facets have three.`,
        {
          hint: 'Export the surface as triangles.',
          place: `line ${line}`,
        },
      )
    }
    if (!s.is('endloop') && !(s.is('end') && this.nextIs('loop'))) return this.unexpected('endloop')
    if (!s.next()) return this.cut(line)
    if (!s.is('endfacet') && !(s.is('end') && this.nextIs('facet'))) return this.unexpected('endfacet')
    this.facets++
    return null
  }

  private readVertex(facetLine: number): ReturnType<typeof fail> | null {
    const s = this.scanner
    for (let k = 0; k < 3; k++) {
      if (!s.next()) return this.cut(facetLine)
      const kind = s.number()
      if (kind === 'none') return this.unexpected('a coordinate')
      if (kind === 'non-finite') {
        return fail(
          'format/non-finite',
          `A vertex coordinate on line ${s.line} is "${s.text()}", not a finite number.`,
          {
            hint: 'Export the surface again; one such vertex spoils every volume.',
            place: `line ${s.line}`,
          },
        )
      }
      this.vertex[k] = s.value
    }
    return null
  }

  private nextIs(word: string): boolean {
    return this.scanner.next() && this.scanner.is(word)
  }

  /** The solid's name: the rest of the line, unless a facet begins on it (files without line breaks). */
  private name(): void {
    const text = this.skipName()
    if (text !== '' && this.names.length < 100) this.names.push(text)
  }

  private skipName(): string {
    const s = this.scanner
    const from = s.at
    while (s.nextOnLine()) {
      if (!s.is('facet')) continue
      const facetAt = s.tokenStart
      if (s.nextOnLine() && s.is('normal')) {
        s.at = facetAt
        return new TextScanner(s.bytes, from, 1, facetAt).restOfLine()
      }
    }
    return new TextScanner(s.bytes, from, 1, s.at).restOfLine()
  }

  private unexpected(wanted: string): ReturnType<typeof fail> {
    const s = this.scanner
    if (s.tokenEnd === s.tokenStart) return this.cut(s.line)
    return fail('format/syntax', `Line ${s.line} has "${s.text()}" where ${wanted} should stand.`, {
      hint: 'The text is damaged or no ASCII STL; export the surface again.',
      place: `line ${s.line}`,
    })
  }

  private cut(facetLine: number): ReturnType<typeof fail> {
    return fail('format/truncated', `The file ends within the facet that starts on line ${facetLine}.`, {
      hint: 'The file looks cut off; copy or export it again.',
      place: `line ${this.scanner.line}`,
    })
  }
}

const isKeyword = (s: TextScanner): boolean =>
  s.is('facet') || s.is('vertex') || s.is('endloop') || s.is('endfacet') || s.is('endsolid') || s.is('solid')
