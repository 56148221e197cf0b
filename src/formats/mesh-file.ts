import type { Result, Warning } from '../failure.ts'
import type { Mesh } from '../geometry/mesh.ts'

/** The encodings that can be read. */
export type MeshFormat = 'STL binary' | 'STL ascii' | 'PLY ascii' | 'PLY little_endian' | 'PLY big_endian'

/** A surface as it came out of a file, in the file's own units. */
export interface MeshFile {
  readonly format: MeshFormat
  /** Welded bit-exactly, without triangles that repeat a corner and without unused vertices. */
  readonly mesh: Mesh
  /** Triangles as the file declares them, polygons fanned, before anything was left out. */
  readonly declaredTriangles: number
  /** Vertices as the file declares them: three per triangle in STL. */
  readonly declaredVertices: number
  /** Triangles left out because welding made two of their corners one. */
  readonly droppedTriangles: number
  /** Comments, object information and solid names, in order, as plain text. */
  readonly comments: readonly string[]
  readonly warnings: readonly Warning[]
}

/**
 * A reader at work: it yields the fraction done (0…1) at the end of each chunk, so that its caller may report
 * progress, let other work run, or stop; it returns the file or the reason why not.
 */
export type Reading = Generator<number, Result<MeshFile>, void>

/** How many bytes a reader takes in between two yields. */
export const CHUNK_BYTES = 4 << 20

export const warning = (code: string, message: string, spoils: readonly string[] = []): Warning => ({
  code,
  message,
  spoils,
})

export const plural = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`
