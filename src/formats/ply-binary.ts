import { fail, ok, type Result } from '../failure.ts'
import { plural } from './mesh-file.ts'
import { PlyFaces } from './ply-faces.ts'
import { PLY_BYTES, type PlyElement, type PlyHeader, type PlyType } from './ply-header.ts'
import { checkCount, leastBinaryBytes, type PlyPlan, type PlyStep } from './ply-plan.ts'
import type { PlySoup } from './ply-soup.ts'

const INSTANCES_PER_CHUNK = 1 << 18

/** Reads the data of a binary PLY file, element after element, in either byte order. */
export function* readBinaryPly(
  bytes: Uint8Array,
  header: PlyHeader,
  plan: PlyPlan,
): Generator<number, Result<PlySoup>, void> {
  const data = new BinaryData(bytes, header, plan.vertices)
  for (const step of plan.steps) {
    const { element } = step
    const fits = checkCount(element, leastBinaryBytes(element), bytes.length - data.at, `byte ${data.at}`)
    if (!fits.ok) return fits
    if (step.role.kind === 'vertex') data.positions = new Float64Array(3 * element.count)
    if (data.skipWhole(step)) continue
    for (let first = 0; first < element.count; first += INSTANCES_PER_CHUNK) {
      const failure = data.read(step, first, Math.min(element.count, first + INSTANCES_PER_CHUNK))
      if (failure !== null) return failure
      yield data.at / bytes.length
    }
  }
  const rest = bytes.length - data.at
  const extra = rest > 0 ? `${plural(rest, 'byte')} after the declared data, from byte ${data.at}, left unread.` : null
  return ok({
    positions: data.positions,
    faces: data.faces,
    notes: extra === null ? [] : [['format/trailing-bytes', extra]],
  })
}

class BinaryData {
  at: number
  positions: Float64Array = new Float64Array(0)
  readonly faces: PlyFaces
  private readonly view: DataView
  private readonly little: boolean
  private readonly end: number

  constructor(bytes: Uint8Array, header: PlyHeader, vertices: number) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    this.at = header.dataAt
    this.end = bytes.length
    this.little = header.encoding === 'little_endian'
    this.faces = new PlyFaces(vertices, Math.min(2 * vertices, bytes.length / 13))
  }

  /** Skips an element of fixed size at one step. */
  skipWhole({ element, role }: PlyStep): boolean {
    if (role.kind !== 'skip' || element.properties.some((p) => p.countType !== null)) return false
    this.at += element.count * leastBinaryBytes(element)
    return true
  }

  /** Reads instances `first` to `stop` − 1. */
  read(step: PlyStep, first: number, stop: number): ReturnType<typeof fail> | null {
    switch (step.role.kind) {
      case 'vertex':
        return this.readVertices(step.element, step.role.axes, first, stop)
      case 'face':
        return this.readLists(step.element, step.role.list, false, first, stop)
      case 'strips':
        return this.readLists(step.element, step.role.list, true, first, stop)
      case 'skip':
        return this.readLists(step.element, -1, false, first, stop)
    }
  }

  private readVertices(element: PlyElement, axes: readonly number[], first: number, stop: number) {
    const { properties } = element
    const [x, y, z] = axes as [number, number, number]
    const offsets = fixedOffsets(element)
    const { view, little, positions } = this
    for (let i = first; i < stop; i++) {
      if (offsets === null) {
        const start = this.at
        for (let p = 0; p < properties.length; p++) {
          const { type, countType } = properties[p]!
          if (countType !== null) {
            const failure = this.skipList(element, i, countType, type)
            if (failure !== null) return failure
            continue
          }
          if (this.at + PLY_BYTES[type] > this.end) return this.cut(element, i)
          const axis = p === x ? 0 : p === y ? 1 : p === z ? 2 : -1
          if (axis >= 0) positions[3 * i + axis] = readValue(view, this.at, type, little)
          this.at += PLY_BYTES[type]
        }
        if (!isPoint(positions, i)) return nonFinite(i, start)
        continue
      }
      positions[3 * i] = readValue(view, this.at + offsets[x]!, properties[x]!.type, little)
      positions[3 * i + 1] = readValue(view, this.at + offsets[y]!, properties[y]!.type, little)
      positions[3 * i + 2] = readValue(view, this.at + offsets[z]!, properties[z]!.type, little)
      if (!isPoint(positions, i)) return nonFinite(i, this.at)
      this.at += offsets[properties.length]!
    }
    return null
  }

  private readLists(element: PlyElement, wanted: number, strips: boolean, first: number, stop: number) {
    const { view, little, end, faces } = this
    const { properties } = element
    for (let i = first; i < stop; i++) {
      const start = this.at
      for (let p = 0; p < properties.length; p++) {
        const { type, countType } = properties[p]!
        if (countType === null) {
          this.at += PLY_BYTES[type]
          if (this.at > end) return this.cut(element, i)
          continue
        }
        if (p !== wanted) {
          const failure = this.skipList(element, i, countType, type)
          if (failure !== null) return failure
          continue
        }
        const count = this.listCount(element, i, countType, type)
        if (typeof count !== 'number') return count
        faces.begin()
        for (let k = 0; k < count; k++, this.at += PLY_BYTES[type]) faces.add(readValue(view, this.at, type, little))
        const where = () => `byte ${start}`
        const failure = strips ? faces.endStrips(i, where) : faces.endPolygon(i, where)
        if (failure !== null) return failure
      }
    }
    return null
  }

  private skipList(element: PlyElement, instance: number, countType: PlyType, type: PlyType) {
    const count = this.listCount(element, instance, countType, type)
    if (typeof count !== 'number') return count
    this.at += count * PLY_BYTES[type]
    return null
  }

  /** Reads a list's length and makes sure that its values are there. */
  private listCount(element: PlyElement, instance: number, countType: PlyType, type: PlyType) {
    if (this.at + PLY_BYTES[countType] > this.end) return this.cut(element, instance)
    const count = readValue(this.view, this.at, countType, this.little)
    const countAt = this.at
    this.at += PLY_BYTES[countType]
    if (!(count >= 0) || !Number.isInteger(count)) {
      return fail('format/count', `A list of ${element.name} ${instance + 1} claims ${count} values.`, {
        hint: 'The file is damaged; export it again.',
        place: `${element.name} ${instance + 1}, byte ${countAt}`,
      })
    }
    if (this.at + count * PLY_BYTES[type] > this.end) return this.cut(element, instance)
    return count
  }

  private cut(element: PlyElement, instance: number) {
    return fail('format/truncated', `The data end within ${element.name} ${instance + 1} of ${element.count}.`, {
      hint: 'The file looks cut off; copy or export it again.',
      place: `${element.name} ${instance + 1}, byte ${Math.min(this.at, this.end)}`,
    })
  }
}

/** Offsets of all properties and, last, the size of an instance; null when a list makes the size vary. */
function fixedOffsets(element: PlyElement): number[] | null {
  const offsets = [0]
  for (const { type, countType } of element.properties) {
    if (countType !== null) return null
    offsets.push(offsets.at(-1)! + PLY_BYTES[type])
  }
  return offsets
}

const isPoint = (positions: Float64Array, i: number): boolean =>
  Number.isFinite(positions[3 * i]! + positions[3 * i + 1]! + positions[3 * i + 2]!)

const nonFinite = (vertex: number, byte: number) =>
  fail('format/non-finite', `Vertex ${vertex + 1} is not three finite numbers of usable size.`, {
    hint: 'Export the surface again; one such vertex spoils every volume.',
    place: `vertex ${vertex + 1}, byte ${byte}`,
  })

function readValue(view: DataView, at: number, type: PlyType, little: boolean): number {
  switch (type) {
    case 'f4':
      return view.getFloat32(at, little)
    case 'i4':
      return view.getInt32(at, little)
    case 'u4':
      return view.getUint32(at, little)
    case 'u1':
      return view.getUint8(at)
    case 'f8':
      return view.getFloat64(at, little)
    case 'i2':
      return view.getInt16(at, little)
    case 'u2':
      return view.getUint16(at, little)
    case 'i1':
      return view.getInt8(at)
  }
}
