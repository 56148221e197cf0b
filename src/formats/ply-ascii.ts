import { fail, ok, type Result } from '../failure.ts'
import { plural } from './mesh-file.ts'
import { PlyFaces } from './ply-faces.ts'
import type { PlyElement, PlyHeader } from './ply-header.ts'
import { checkCount, leastTextBytes, type PlyPlan, type PlyStep } from './ply-plan.ts'
import type { PlySoup } from './ply-soup.ts'
import { TextScanner } from './text-scanner.ts'

const INSTANCES_PER_CHUNK = 1 << 16

type Refusal = ReturnType<typeof fail>

/**
 * Reads the data of an ASCII PLY file. Each element instance should have a line of its own; then columns the header
 * does not declare are passed over with a warning. Where a line is too short the data are read as one stream of
 * numbers instead, for writers that wrap lines.
 */
export function* readAsciiPly(
  bytes: Uint8Array,
  header: PlyHeader,
  plan: PlyPlan,
): Generator<number, Result<PlySoup>, void> {
  const byLine = yield* readWith(new AsciiData(bytes, header, plan.vertices, true), plan)
  if (byLine.ok || byLine.failure.code === 'format/count' || byLine.failure.code === 'format/non-finite') return byLine
  const asStream = yield* readWith(new AsciiData(bytes, header, plan.vertices, false), plan)
  // Read as a stream, text left over says that the numbers were not what the header promised.
  if (asStream.ok) return asStream.value.notes.length === 0 ? asStream : byLine
  return asStream.failure.code === 'format/truncated' ? asStream : byLine
}

function* readWith(data: AsciiData, plan: PlyPlan): Generator<number, Result<PlySoup>, void> {
  const { scanner } = data
  for (const step of plan.steps) {
    const { element } = step
    // The last number needs no separator.
    const remaining = scanner.end - scanner.at + 1
    const fits = checkCount(element, leastTextBytes(element), remaining, `line ${scanner.line}`)
    if (!fits.ok) return fits
    if (element.properties.length === 0) continue
    if (step.role.kind === 'vertex') data.positions = new Float64Array(3 * element.count)
    for (let first = 0; first < element.count; first += INSTANCES_PER_CHUNK) {
      const stop = Math.min(element.count, first + INSTANCES_PER_CHUNK)
      for (let i = first; i < stop; i++) {
        const failure = data.read(step, i)
        if (failure !== null) return failure
      }
      yield scanner.at / scanner.end
    }
  }
  return ok({ positions: data.positions, faces: data.faces, notes: data.notes() })
}

class AsciiData {
  readonly scanner: TextScanner
  positions: Float64Array = new Float64Array(0)
  readonly faces: PlyFaces
  private readonly byLine: boolean
  private longLines = 0
  private firstLongLine = 0

  constructor(bytes: Uint8Array, header: PlyHeader, vertices: number, byLine: boolean) {
    this.scanner = new TextScanner(bytes, header.dataAt, header.dataLine)
    this.byLine = byLine
    this.faces = new PlyFaces(vertices, Math.min(2 * vertices, bytes.length / 7))
  }

  /** Reads instance `i` of the step's element. */
  read({ element, role }: PlyStep, i: number): Refusal | null {
    const { properties } = element
    let fresh = true
    const line = () => this.scanner.line
    for (let p = 0; p < properties.length; p++) {
      const { countType } = properties[p]!
      const token = this.next(element, i, fresh)
      if (token !== null) return token
      fresh = false
      if (countType === null) {
        const axis = role.kind === 'vertex' ? role.axes.indexOf(p) : -1
        if (axis < 0) continue
        const value = this.value(element, i)
        if (typeof value !== 'number') return value
        this.positions[3 * i + axis] = value
        continue
      }
      const count = this.value(element, i)
      if (typeof count !== 'number') return count
      if (!(count >= 0) || !Number.isInteger(count)) return this.badCount(element, i)
      const wanted = (role.kind === 'face' || role.kind === 'strips') && role.list === p
      this.faces.begin()
      for (let k = 0; k < count; k++) {
        const item = this.next(element, i, false)
        if (item !== null) return item
        if (!wanted) continue
        const value = this.value(element, i)
        if (typeof value !== 'number') return value
        this.faces.add(value)
      }
      if (!wanted) continue
      const where = () => `line ${line()}`
      const failure = role.kind === 'strips' ? this.faces.endStrips(i, where) : this.faces.endPolygon(i, where)
      if (failure !== null) return failure
    }
    if (this.byLine && this.scanner.nextOnLine()) {
      if (this.longLines++ === 0) this.firstLongLine = this.scanner.line
      this.scanner.skipLine()
    }
    return null
  }

  notes(): [string, string][] {
    const list: [string, string][] = []
    if (this.longLines > 0) {
      list.push([
        'format/undeclared-columns',
        `${plural(this.longLines, 'line')} (first: line ${this.firstLongLine}) with more columns than the header declares, passed over.`,
      ])
    }
    if (this.scanner.next()) {
      list.push(['format/trailing-text', `Text after the declared data, from line ${this.scanner.line}, left unread.`])
    }
    return list
  }

  /** Moves to the next number; `fresh`: of a new instance, which may start on a later line. */
  private next(element: PlyElement, i: number, fresh: boolean): Refusal | null {
    const s = this.scanner
    if (fresh || !this.byLine ? s.next() : s.nextOnLine()) return null
    const where = { place: `line ${s.line}`, hint: 'The file looks cut off; copy or export it again.' }
    return s.at >= s.end
      ? fail(
          'format/truncated',
          `The data end within ${element.name} ${i + 1} of ${element.count} (line ${s.line}).`,
          where,
        )
      : fail('format/syntax', `Line ${s.line} has too few numbers for ${element.name} ${i + 1}.`, where)
  }

  private value(element: PlyElement, i: number): number | Refusal {
    const s = this.scanner
    const kind = s.number()
    if (kind === 'finite') return s.value
    const code = kind === 'none' ? 'format/syntax' : 'format/non-finite'
    const wanted = kind === 'none' ? 'a number' : 'a finite number'
    return fail(code, `${element.name} ${i + 1} on line ${s.line} has "${s.text()}" where ${wanted} should stand.`, {
      hint: 'The file is damaged or was written wrongly; export it again.',
      place: `line ${s.line}`,
    })
  }

  private badCount(element: PlyElement, i: number): Refusal {
    const s = this.scanner
    return fail('format/syntax', `A list of ${element.name} ${i + 1} on line ${s.line} claims ${s.text()} values.`, {
      place: `line ${s.line}`,
    })
  }
}
