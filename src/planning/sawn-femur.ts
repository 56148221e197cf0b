import type { Side } from '../anatomy/terms.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import { bookSite } from './bookkeeping.ts'
import type { ComponentFace } from './component-faces.ts'
import type { CondyleSupport } from './condyles.ts'
import { sawnPlane } from './departures.ts'
import type { Site } from './planned.ts'
import { departs, type FemoralDepartures, type PlanChoices } from './terms.ts'

/** The femoral cuts as they are sawn, beside the component's faces they were meant for; cutting order. */
export interface SawnFemur {
  readonly faces: readonly ComponentFace[]
  readonly planes: readonly Plane[]
  /** The femoral sites under the sawn cuts. */
  readonly sites: readonly Site[]
}

export interface PlacedFemoral {
  readonly faces: readonly ComponentFace[]
  /** The component's own frame, patient frame. */
  readonly frame: Frame
  readonly side: Side
  /** Sites under the component's own distal and posterior face. */
  readonly sites: readonly Site[]
}

/**
 * Saws a placed component's cuts with the case's departures. Sites of a cut that departs are booked anew on its plane, at the
 * point a caliper reads there; one without bone there keeps the box's.
 */
export function sawFemur(
  { faces, frame, side, sites }: PlacedFemoral,
  departures: FemoralDepartures,
  support: CondyleSupport,
  meshSurface: PlanChoices['meshSurface'],
): SawnFemur {
  const planes = faces.map((face) => sawnPlane(face, frame, side, departures[face.id]))
  const again = (site: Site): Site => {
    const at = faces.findIndex((face) => site.id.startsWith(face.id))
    const plane = planes[at]
    if (!plane || !departs(departures[faces[at]!.id])) return site
    const point = support(site.id.endsWith('medial') ? 'medial' : 'lateral', plane.normal)
    return point === null ? site : bookSite({ ...site, meshSurface }, point, -signedDistance(plane, point))
  }
  return { faces, planes, sites: sites.map(again) }
}
