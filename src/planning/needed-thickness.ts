import { dot, sub, type Vec3 } from '../geometry/vec.ts'
import type { Site } from './planned.ts'
import type { CutId } from './terms.ts'

/** What of the mesh a cut should take at one compartment so that taken equals put back, kerf included, mm. */
export interface NeededThickness {
  readonly compartment: 'medial' | 'lateral'
  readonly point: Vec3
  readonly neededMm: number
}

/**
 * What a cut should take of the mesh at each of its sites (patient frame, mm): the component less what stood above the
 * mesh, `component − (total − distance)`, so that the difference of the site's bookkeeping is 0 there. Empty for a cut
 * that has no sites.
 */
export function neededThickness(sites: readonly Site[], cut: CutId): readonly NeededThickness[] {
  return (['medial', 'lateral'] as const).flatMap((compartment) => {
    const site = sites.find(({ id }) => id === `${cut}-${compartment}`)
    if (!site) return []
    const aboveMeshMm = site.totalMm - site.distanceMm
    return [{ compartment, point: site.point, neededMm: site.componentMm - aboveMeshMm }]
  })
}

/**
 * What is needed at a point of the cut (same frame, mm): of the compartment on whose side of the middle between both
 * sites it lies, or of the only one; null where there is none.
 */
export function neededAt(needed: readonly NeededThickness[], point: Vec3): number | null {
  const [one, other] = needed
  if (!one) return null
  if (!other) return one.neededMm
  const across = sub(other.point, one.point)
  const beyondMiddle = dot(across, sub(point, one.point)) > dot(across, across) / 2
  return (beyondMiddle ? other : one).neededMm
}
