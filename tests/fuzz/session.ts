import { type FileInspection, inspectMesh } from '../../src/formats/inspect.ts'
import { readMesh } from '../../src/formats/read.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { boundedVolume, openBorders } from '../../src/geometry/open-volume.ts'
import { seededRandom } from '../../src/geometry/random.ts'
import { previewRepair, proposeRepairs } from '../../src/geometry/repair.ts'
import { mutated } from './mutate.ts'
import { fuzzSeeds } from './seeds.ts'

export interface FuzzTally {
  inputs: number
  meshes: number
  withFaces: number
  failures: Record<string, number>
  slowestMs: number
  slowest: string
  /** Inputs that threw, gave an invalid mesh, or a failure without sentence or place. */
  unhandled: string[]
}

/** Reads and inspects `count` mutated files from number `first` on; `onInput` is told the number before each. */
export function fuzz(first: number, count: number, onInput: (n: number) => void = () => {}): FuzzTally {
  const seeds = fuzzSeeds()
  const tally: FuzzTally = {
    inputs: 0,
    meshes: 0,
    withFaces: 0,
    failures: {},
    slowestMs: 0,
    slowest: '',
    unhandled: [],
  }
  for (let n = first; n < first + count; n++) {
    onInput(n)
    const { bytes, how } = mutated(seeds, seededRandom(n))
    const started = performance.now()
    const trouble = tryOne(bytes, tally)
    const ms = performance.now() - started
    tally.inputs++
    if (ms > tally.slowestMs) {
      tally.slowestMs = ms
      tally.slowest = `input ${n} (${bytes.length} bytes): ${how}`
    }
    if (trouble !== null && tally.unhandled.length < 100) tally.unhandled.push(`input ${n}: ${how}: ${trouble}`)
  }
  return tally
}

/** What is wrong with the outcome; null when it is a sound mesh or a full failure. */
function tryOne(bytes: Uint8Array, tally: FuzzTally): string | null {
  try {
    const read = readMesh(bytes, 'input.stl')
    if (!read.ok) {
      const { code, message, place } = read.failure
      tally.failures[code] = (tally.failures[code] ?? 0) + 1
      return message.length > 10 && place !== null ? null : `bare failure ${code}`
    }
    tally.meshes++
    const { mesh } = read.value
    if (mesh.triangles.length > 0) tally.withFaces++
    else if (!read.value.warnings.some((w) => w.code === 'format/no-faces' || w.code === 'mesh/degenerate-dropped')) {
      return 'no faces and no warning'
    }
    const vertices = mesh.positions.length / 3
    if (mesh.triangles.some((v) => v >= vertices)) return 'vertex number out of range'
    if (mesh.positions.some((c) => !Number.isFinite(c))) return 'coordinate not finite'
    return unsound(inspectMesh(read.value, 'input')) ?? (vertices < 2000 ? unsoundRepairs(mesh) : null)
  } catch (error) {
    return `threw ${error instanceof Error ? error.message : String(error)}`
  }
}

/** Every proposed repair, and the volume of the open surface, must come to an end with sound numbers too. */
function unsoundRepairs(mesh: Mesh): string | null {
  for (const { step, sizeMm } of proposeRepairs(mesh)) {
    const { mesh: repaired } = previewRepair(mesh, step)
    const vertices = repaired.positions.length / 3
    if (!Number.isFinite(sizeMm) || repaired.positions.some((c) => !Number.isFinite(c)))
      return `${step.kind} not finite`
    if (repaired.triangles.some((v) => v >= vertices)) return `${step.kind}: vertex number out of range`
  }
  const borders = openBorders(mesh)
  if (!borders.ok) return null
  const { volumeMm3, boundMm3 } = boundedVolume(borders.value)
  return Number.isFinite(volumeMm3) && boundMm3 >= 0 ? null : `bounded volume ${volumeMm3} ± ${boundMm3}`
}

function unsound(entry: FileInspection): string | null {
  const numbers = [entry.volumeMm3 ?? 0, entry.areaMm2 ?? 0, ...(entry.boxMm ?? []).flat()]
  return numbers.every(Number.isFinite) ? null : `inspection not finite: ${numbers.join(' ')}`
}
