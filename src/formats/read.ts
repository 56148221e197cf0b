import { fail, ok, type Result } from '../failure.ts'
import { kindOf } from './kind.ts'
import { type MeshFile, plural, type Reading, warning } from './mesh-file.ts'
import { readPly } from './ply.ts'
import { readAsciiStl, startOfText } from './stl-ascii.ts'
import { readBinaryStl } from './stl-binary.ts'

export interface ReadOptions {
  /** Called with the fraction done, 0…1, between chunks. */
  readonly onProgress?: ((fraction: number) => void) | undefined
  readonly signal?: AbortSignal | undefined
}

/**
 * Reads a surface mesh from the bytes of an STL or PLY file (decided by content, never by the name) in the file's own
 * units. Total: any bytes give a mesh or a failure with code, sentence and place. A valid file without faces is a
 * mesh of 0 triangles with a warning.
 */
export function readMesh(bytes: Uint8Array, name: string, options: ReadOptions = {}): Result<MeshFile> {
  const reading = startReading(bytes, name)
  for (;;) {
    if (options.signal?.aborted) return cancelled(name)
    const step = reading.next()
    if (step.done) return finish(step.value)
    options.onProgress?.(step.value)
  }
}

/** The same reading in chunks that let other work run between them, for workers: it can be cancelled half-way. */
export async function readMeshAsync(
  bytes: Uint8Array,
  name: string,
  options: ReadOptions = {},
): Promise<Result<MeshFile>> {
  const reading = startReading(bytes, name)
  for (;;) {
    if (options.signal?.aborted) return cancelled(name)
    const step = reading.next()
    if (step.done) return finish(step.value)
    options.onProgress?.(step.value)
    await new Promise((resolve) => setTimeout(resolve, 0))
  }
}

function* startReading(bytes: Uint8Array, name: string): Reading {
  const kind = kindOf(bytes, name)
  if (!kind.ok) return kind
  switch (kind.value) {
    case 'ply':
      return yield* readPly(bytes, startOfText(bytes))
    case 'ascii-stl':
      return yield* readAsciiStl(bytes)
    case 'binary-stl':
      return yield* readBinaryStl(bytes)
  }
}

/** Index of the first coordinate too large to compute with, or −1. */
function firstTooLarge(positions: Float64Array): number {
  for (let i = 0; i < positions.length; i++) if (Math.abs(positions[i]!) > LARGEST_COORDINATE) return i
  return -1
}

function finish(read: Result<MeshFile>): Result<MeshFile> {
  if (!read.ok) return read
  const { mesh, declaredTriangles, declaredVertices, droppedTriangles } = read.value
  const at = firstTooLarge(mesh.positions)
  if (at >= 0) {
    return fail('format/non-finite', `A coordinate of ${mesh.positions[at]} is too large to compute with.`, {
      hint: 'The file is damaged or its numbers are no lengths.',
      place: `welded vertex ${Math.floor(at / 3) + 1}`,
    })
  }
  const warnings = [...read.value.warnings]
  if (declaredTriangles === 0) {
    const points = declaredVertices > 0 ? `: ${plural(declaredVertices, 'point')} only` : ''
    warnings.push(warning('format/no-faces', `The file is valid but holds no faces${points}.`, ['triangles']))
  } else if (droppedTriangles > 0) {
    const message = `${plural(droppedTriangles, 'triangle')} of ${declaredTriangles} left out: two corners are the same point.`
    warnings.push(warning('mesh/degenerate-dropped', message))
  }
  return ok({ ...read.value, warnings })
}

/** Cubes of it still have room in a double, so that no volume overflows. */
const LARGEST_COORDINATE = 1e60

const cancelled = (name: string) => fail('job/cancelled', `Reading ${name} was cancelled.`)
