import type { BoneMesh } from '../geometry/bone.ts'
import { boundInside } from '../geometry/bounded-bone.ts'
import { halfSpace } from '../geometry/half-space.ts'
import { flipped, offsetPlane, type Plane } from '../geometry/plane.ts'
import { volumeInside } from '../geometry/volume-inside.ts'

/** What one cut takes: the removed part, the slab within one kerf of the plane, and the piece that is left to measure; mm³. */
export interface CutVolumes {
  readonly removedMm3: number
  /** How far each of the three may be from the truth, as surface is missing; 0 for a closed bone. */
  readonly removedBoundMm3: number
  readonly kerfMm3: number
  readonly pieceMm3: number
}

/** Volumes of a single cut; null for a bone that has no inside. */
export function singleCutVolumes(bone: BoneMesh, plane: Plane, kerfMm: number): CutVolumes | null {
  const removedBoundMm3 = boundInside(bone, [flipped(plane)])
  if (removedBoundMm3 === null) return null
  const removedMm3 = halfSpace(bone.tree, plane).volumeMm3
  const pieceMm3 = kerfMm > 0 ? halfSpace(bone.tree, offsetPlane(plane, -kerfMm)).volumeMm3 : removedMm3
  return { removedMm3, removedBoundMm3, kerfMm3: removedMm3 - pieceMm3, pieceMm3 }
}

/**
 * Volumes of a series of cuts in cutting order, acting inside the block only (the positive side of all its planes); each cut takes, and its
 * slab is made of, what no earlier cut took. null for a bone that has no inside.
 */
export function seriesVolumes(
  bone: BoneMesh,
  planes: readonly Plane[],
  block: readonly Plane[],
  kerfMm: number,
): readonly CutVolumes[] | null {
  const bounds = planes.map((plane, i) => boundInside(bone, [...block, ...planes.slice(0, i), flipped(plane)]))
  const whole = Math.abs(volumeInside(bone.tree, block))
  const volumes = planes.map((plane, i): CutVolumes | null => {
    const removedBoundMm3 = bounds[i]!
    if (removedBoundMm3 === null) return null
    const earlier = [...block, ...planes.slice(0, i)]
    const taken = volumeInside(bone.tree, [...earlier, flipped(plane)])
    const above = kerfMm > 0 ? volumeInside(bone.tree, [...earlier, flipped(offsetPlane(plane, -kerfMm))]) : taken
    // Below rounding of the whole block a cut misses; a cut cannot put bone back.
    const removedMm3 = taken > 1e-12 * whole ? taken : 0
    const pieceMm3 = Math.min(removedMm3, Math.max(0, above))
    return { removedMm3, removedBoundMm3, kerfMm3: removedMm3 - pieceMm3, pieceMm3 }
  })
  return volumes.every((v) => v !== null) ? volumes : null
}
