import type { Vec3 } from '../geometry/vec.ts'
import type { Site } from './planned.ts'
import type { PlanChoices, SiteId } from './terms.ts'

/** What the bookkeeping of one site needs beside the plane: assumed cartilage, wear, kerf, component; all mm. */
export interface SiteStock {
  readonly id: SiteId
  readonly cartilageMm: number
  readonly wornMm: number
  readonly kerfMm: number
  readonly componentMm: number
  readonly meshSurface: 'bone' | 'cartilage'
}

/** The stock of a site under the choices of the case; wear is that of its compartment, or the posterior condyle's own. */
export function siteStock(id: SiteId, choices: PlanChoices, componentMm: number): SiteStock {
  return {
    id,
    cartilageMm: id.startsWith('tibia') ? choices.cartilage.tibiaMm : choices.cartilage.femurMm,
    wornMm: wornAt(id, choices.wear),
    kerfMm: choices.saw.kerfMm,
    componentMm,
    meshSurface: choices.meshSurface,
  }
}

function wornAt(id: SiteId, wear: PlanChoices['wear']): number {
  if (id === 'femur-posterior-medial') return wear.posteriorMedialMm ?? wear.medialMm
  if (id === 'femur-posterior-lateral') return wear.posteriorLateralMm ?? wear.lateralMm
  return id.endsWith('medial') ? wear.medialMm : wear.lateralMm
}

/**
 * What stood above the site's point on the mesh before wear, mm: `total = distance + aboveMesh`. Bone mesh: the intact
 * cartilage and the bone also worn; cartilage mesh: the wear.
 */
export function aboveMeshMm(stock: SiteStock): number {
  const bone = stock.wornMm - Math.min(stock.wornMm, stock.cartilageMm)
  return stock.meshSurface === 'bone' ? stock.cartilageMm + bone : stock.wornMm
}

/**
 * Thickness bookkeeping of one site: `distanceMm` along the cut normal from its point on the mesh to the plane.
 * Always total = piece + kerf + wear; difference = total − component, positive when more is taken than put back.
 */
export function bookSite(stock: SiteStock, point: Vec3, distanceMm: number): Site {
  const totalMm = distanceMm + aboveMeshMm(stock)
  const cartilageLeft = stock.cartilageMm - Math.min(stock.wornMm, stock.cartilageMm)
  const pieceMm = distanceMm + (stock.meshSurface === 'bone' ? cartilageLeft : 0) - stock.kerfMm
  const differenceMm = totalMm - stock.componentMm
  return {
    id: stock.id,
    point,
    distanceMm,
    cartilageMm: stock.cartilageMm,
    wornMm: stock.wornMm,
    kerfMm: stock.kerfMm,
    pieceMm,
    totalMm,
    componentMm: stock.componentMm,
    differenceMm,
    within: Math.abs(differenceMm) <= toleranceMm + 1e-9,
  }
}

/** Acceptance per site, common practice, no source. */
export const toleranceMm = 0.5
