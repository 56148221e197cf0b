import type { Effort } from './half-space.ts'
import { flipped, type Plane } from './plane.ts'
import type { MeshTree } from './tree.ts'
import { volumeInside } from './volume-inside.ts'

export interface Resection {
  /** Per plane, in cutting order: what this cut takes that no earlier cut took, mm³. */
  readonly removedMm3: readonly number[]
  readonly totalMm3: number
}

/**
 * What a series of cuts removes when the kept bone is the intersection of the planes' positive sides. Planes in the
 * mesh's frame, unit normals into the kept bone, in cutting order; a plane given twice removes 0 the second time.
 * @param block where the cuts act at all: the positive side of this plane (of all of these planes); nothing beyond it
 *   is touched. Without it the cuts act on the whole mesh.
 * @param effort when given, its counters are raised by the walk of every cut
 */
export function convexResection(
  tree: MeshTree,
  planes: readonly Plane[],
  block?: Plane | readonly Plane[],
  effort?: Effort,
): Resection {
  const within = blockPlanes(block)
  const whole = Math.abs(volumeInside(tree, []))
  const removedMm3 = planes.map((plane, k) => {
    const taken = volumeInside(tree, [...within, ...planes.slice(0, k), flipped(plane)], effort)
    // A cut cannot put bone back; what is below rounding of the whole is a cut that misses.
    return Math.abs(taken) > 1e-13 * whole ? taken : 0
  })
  return { removedMm3, totalMm3: removedMm3.reduce((sum, taken) => sum + taken, 0) }
}

function blockPlanes(block: Plane | readonly Plane[] | undefined): readonly Plane[] {
  if (block === undefined) return []
  return 'normal' in block ? [block] : block
}
