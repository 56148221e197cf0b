import type { BoneMesh } from '../geometry/bone.ts'
import { halfSpace } from '../geometry/half-space.ts'
import { offsetPlane, type Plane } from '../geometry/plane.ts'
import { convexResection } from '../geometry/resection.ts'

/** What one cut takes: the removed part, the slab within one kerf of the plane, and the piece that is left to measure; mm³. */
export interface CutVolumes {
  readonly removedMm3: number
  readonly kerfMm3: number
  readonly pieceMm3: number
}

/** Volumes of a single cut through a closed bone. */
export function singleCutVolumes(bone: BoneMesh, plane: Plane, kerfMm: number): CutVolumes {
  const removedMm3 = halfSpace(bone.tree, plane).volumeMm3
  const pieceMm3 = kerfMm > 0 ? halfSpace(bone.tree, offsetPlane(plane, -kerfMm)).volumeMm3 : removedMm3
  return { removedMm3, kerfMm3: removedMm3 - pieceMm3, pieceMm3 }
}

/**
 * Volumes of a series of cuts in cutting order, acting inside the block only (its positive side); each cut takes, and its
 * slab is made of, what no earlier cut took.
 */
export function seriesVolumes(
  bone: BoneMesh,
  planes: readonly Plane[],
  block: Plane,
  kerfMm: number,
): readonly CutVolumes[] {
  const { removedMm3 } = convexResection(bone.tree, planes, block)
  return planes.map((plane, i) => {
    const removed = removedMm3[i]!
    if (kerfMm <= 0) return { removedMm3: removed, kerfMm3: 0, pieceMm3: removed }
    const shallower = [...planes.slice(0, i), offsetPlane(plane, -kerfMm)]
    const pieceMm3 = Math.min(removed, convexResection(bone.tree, shallower, block).removedMm3[i]!)
    return { removedMm3: removed, kerfMm3: removed - pieceMm3, pieceMm3 }
  })
}
