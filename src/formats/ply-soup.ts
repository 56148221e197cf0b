import type { PlyFaces } from './ply-faces.ts'

/** What the data of a PLY file hold, before welding. */
export interface PlySoup {
  readonly positions: Float64Array
  readonly faces: PlyFaces
  /** Warning codes and sentences. */
  readonly notes: readonly (readonly [string, string])[]
}
