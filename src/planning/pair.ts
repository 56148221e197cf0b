import { fail, ok, type Result } from '../failure.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { addScaled, dot, type Vec3 } from '../geometry/vec.ts'
import { aboveMeshMm, bookSite, type SiteStock } from './bookkeeping.ts'
import type { Site } from './planned.ts'
import { findRoot } from './root.ts'
import type { Compartment } from './terms.ts'

/** The two sites of one cut: how their points follow the normal, and their stock. */
export interface SitePair {
  /** The site's point on the mesh for a unit normal into the kept bone; null when the bone has none there. */
  readonly pointAt: (compartment: Compartment, normal: Vec3) => Vec3 | null
  readonly stock: Readonly<Record<Compartment, SiteStock>>
  /** A plane's own point is the foot of this one (the knee centre). */
  readonly anchor: Vec3
}

/** Where along the normal the plane must stand so that this site's difference is 0; NaN when there is no point. */
function zeroOffset(pair: SitePair, compartment: Compartment, normal: Vec3): number {
  const point = pair.pointAt(compartment, normal)
  if (point === null) return Number.NaN
  const stock = pair.stock[compartment]
  return dot(normal, point) + stock.componentMm - aboveMeshMm(stock)
}

/**
 * The tilt, degrees within ±25, for which one plane gives both sites difference 0; the site points follow the normal.
 * `plan/infeasible` when there is none.
 */
export function solveTilt(pair: SitePair, normalAt: (deg: number) => Vec3, what: string): Result<number> {
  const imbalance = (deg: number) => {
    const normal = normalAt(deg)
    return zeroOffset(pair, 'medial', normal) - zeroOffset(pair, 'lateral', normal)
  }
  const deg = findRoot(imbalance, -25, 25, 1e-12)
  return deg === null
    ? fail('plan/infeasible', `No ${what} within 25° brings both sites to component thickness.`, {
        hint: 'Check landmarks, side and wear.',
      })
    : ok(deg)
}

/**
 * The plane with this normal that gives difference 0 at the chosen site: the one of a compartment, or (`proudest`) of
 * the site whose intact surface stands farther out. Null when the bone has no point there.
 */
export function planeThroughZero(pair: SitePair, normal: Vec3, at: Compartment | 'proudest'): Plane | null {
  const compartment = at === 'proudest' ? proudest(pair, normal) : at
  return planeAtOffset(pair, normal, zeroOffset(pair, compartment, normal))
}

/** The plane `distanceMm` along the normal from the mesh point of one site, or from midway between both (`mean`). */
export function planeAtDistance(
  pair: SitePair,
  normal: Vec3,
  from: Compartment | 'mean',
  distanceMm: number,
): Plane | null {
  const height = (compartment: Compartment) => {
    const point = pair.pointAt(compartment, normal)
    return point === null ? Number.NaN : dot(normal, point)
  }
  const start = from === 'mean' ? (height('medial') + height('lateral')) / 2 : height(from)
  return planeAtOffset(pair, normal, start + distanceMm)
}

/** Bookkeeping of both sites under a plane; medial first. */
export function bookPair(pair: SitePair, plane: Plane): readonly Site[] {
  return (['medial', 'lateral'] as const).flatMap((compartment) => {
    const point = pair.pointAt(compartment, plane.normal)
    if (point === null) return []
    return [bookSite(pair.stock[compartment], point, -signedDistance(plane, point))]
  })
}

function proudest(pair: SitePair, normal: Vec3): Compartment {
  const surface = (c: Compartment) => zeroOffset(pair, c, normal) - pair.stock[c].componentMm
  return surface('lateral') < surface('medial') ? 'lateral' : 'medial'
}

const planeAtOffset = (pair: SitePair, normal: Vec3, offset: number): Plane | null =>
  Number.isFinite(offset) ? { point: addScaled(pair.anchor, normal, offset - dot(normal, pair.anchor)), normal } : null
