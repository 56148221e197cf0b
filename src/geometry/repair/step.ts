import type { Vec3 } from '../vec.ts'

/**
 * One repair as it is recorded in a case: plain data, so that the same file repaired by the same steps in the same
 * order gives the same mesh. Lengths in mm, in the frame of the mesh.
 */
export type RepairStep =
  /** Join vertices on boundary edges that lie closer than the tolerance. */
  | { readonly kind: 'weld'; readonly toleranceMm: number }
  /** Keep each triangle once; sheets of two opposite copies go. */
  | { readonly kind: 'drop-duplicates' }
  /** Drop small sheets that hang on the surface by an edge and end in the open. */
  | { readonly kind: 'drop-fins'; readonly belowAreaFraction: number }
  /** Flip the long edge of triangles without area, so that they go without leaving a crack. */
  | { readonly kind: 'mend-degenerate' }
  /** Make neighbours agree about the side that is out, and every shell face outward (cavities inward). */
  | { readonly kind: 'orient' }
  /** Drop pieces whose area is under this fraction of the largest piece's. */
  | { readonly kind: 'drop-islands'; readonly belowAreaFraction: number }
  /** Keep one piece of several in a file, told by its rank: 0 has the largest area. */
  | { readonly kind: 'keep-piece'; readonly rank: number }
  /** Fill holes whose border is at least and at most so long. */
  | { readonly kind: 'fill-holes'; readonly minLengthMm: number; readonly maxLengthMm: number }
  /** Close the borders that lie in this plane, `normal` pointing out of the bone. */
  | { readonly kind: 'cap-plane'; readonly point: Vec3; readonly normal: Vec3; readonly toleranceMm: number }
  /** Part the surface along edges with more than two triangles, moving nothing. */
  | { readonly kind: 'split-edges' }
