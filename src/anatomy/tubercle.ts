import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { ramp } from './ramp.ts'
import { standingCap } from './standing-cap.ts'

/** Depth of the cap, mm. */
const capMm = 3
/** Towards either level places count less, over this share of the levels' distance. */
const softShare = 0.2

/**
 * The tubercle of a tibia in limb coordinates: the middle of the cap that stands out most in front between two levels (mm), at its apex. Its
 * ridge is long and its foremost vertex wandered 10 mm along it. Null when nothing lies there.
 */
export function findTubercle(part: Mesh, bottom: number, top: number): Vec3 | null {
  const edge = softShare * (top - bottom)
  const counts = (y: number): number => ramp(y, bottom, bottom + edge) * (1 - ramp(y, top - edge, top))
  return standingCap(part, { out: 0, sense: 1, heights: [bottom, top], counts, capMm })?.point ?? null
}
