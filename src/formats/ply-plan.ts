import { fail, ok, type Result, type Warning } from '../failure.ts'
import { warning } from './mesh-file.ts'
import { PLY_BYTES, type PlyElement, type PlyHeader } from './ply-header.ts'

/** What is taken from an element; property numbers count from 0 in declared order. */
export type PlyRole =
  | { readonly kind: 'vertex'; readonly axes: readonly [number, number, number] }
  | { readonly kind: 'face' | 'strips'; readonly list: number }
  | { readonly kind: 'skip' }

export interface PlyStep {
  readonly element: PlyElement
  readonly role: PlyRole
}

export interface PlyPlan {
  readonly steps: readonly PlyStep[]
  readonly vertices: number
  readonly warnings: readonly Warning[]
}

const STRIP_NAMES: ReadonlySet<string> = new Set(['tristrips', 'tristrip', 'triangle_strips', 'strips'])
const LIST_NAMES: ReadonlySet<string> = new Set(['vertex_indices', 'vertex_index'])

/** Decides which elements and properties of a PLY header make the surface; the others are skipped over. */
export function planPly(header: PlyHeader): Result<PlyPlan> {
  const warnings: Warning[] = []
  const steps: PlyStep[] = []
  const hasFaces = header.elements.some((e) => isFaceElement(e) && e.count > 0)
  let vertices = 0
  if (header.version !== '1.0') {
    warnings.push(warning('format/version', `PLY version "${header.version}" is read as version 1.0.`))
  }
  for (const element of header.elements) {
    let role: PlyRole = { kind: 'skip' }
    if (element.name.toLowerCase() === 'vertex') {
      const axes = coordinateProperties(element)
      if (axes !== null) role = { kind: 'vertex', axes }
      else if (hasFaces) return missing('The vertices have no single-valued properties x, y and z')
      if (axes !== null) vertices = element.count
    } else if (isFaceElement(element)) {
      const list = indexList(element, warnings)
      const kind = STRIP_NAMES.has(element.name.toLowerCase()) ? 'strips' : 'face'
      if (list >= 0) role = { kind, list }
      else if (element.count > 0) return missing(`The ${element.name} element has no list of vertex numbers`)
    }
    steps.push({ element, role })
  }
  if (hasFaces && !steps.some((s) => s.role.kind === 'vertex')) return missing('There are faces but no vertex element')
  return ok({ steps, vertices, warnings })
}

const isFaceElement = (e: PlyElement): boolean =>
  e.name.toLowerCase() === 'face' || STRIP_NAMES.has(e.name.toLowerCase())

const missing = (message: string) =>
  fail('format/syntax', `${message}.`, { hint: 'Export the surface with vertices x, y, z and faces.', place: 'header' })

function coordinateProperties(element: PlyElement): [number, number, number] | null {
  const at = (name: string) =>
    element.properties.findIndex((p) => p.name.toLowerCase() === name && p.countType === null)
  const axes: [number, number, number] = [at('x'), at('y'), at('z')]
  return axes.includes(-1) ? null : axes
}

function indexList(element: PlyElement, warnings: Warning[]): number {
  const lists = element.properties.flatMap((p, i) => (p.countType === null ? [] : [i]))
  const named = lists.find((i) => LIST_NAMES.has(element.properties[i]!.name.toLowerCase()))
  if (named !== undefined) return named
  const whole = lists.filter((i) => !element.properties[i]!.type.startsWith('f'))
  if (whole.length !== 1) return -1
  const name = element.properties[whole[0]!]!.name
  warnings.push(warning('format/list-name', `The list "${name}" of ${element.name} is taken as its vertex numbers.`))
  return whole[0]!
}

/** Fewest bytes one instance of the element can take in a binary file (empty lists). */
export const leastBinaryBytes = (element: PlyElement): number =>
  element.properties.reduce((sum, p) => sum + PLY_BYTES[p.countType ?? p.type], 0)

/** Fewest bytes one instance can take in text: a character and a separator for each property. */
export const leastTextBytes = (element: PlyElement): number => 2 * element.properties.length

/** Refuses a count that the remaining bytes cannot hold, before anything is allocated for it. */
export function checkCount(element: PlyElement, leastBytes: number, remaining: number, place: string): Result<null> {
  if (element.count * leastBytes <= remaining) return ok(null)
  // More elements than bytes is no cut-off copy; it is a wrong number.
  const code = element.count > remaining && element.count > 1000 ? 'format/count' : 'format/truncated'
  return fail(
    code,
    `The header declares ${element.count} × ${element.name}, at least ${element.count * leastBytes} bytes; ${Math.max(0, remaining)} are left.`,
    { hint: 'Either the count is wrong or the file is cut off; export it again.', place },
  )
}
