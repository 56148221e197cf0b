import { addScaled, scale, type Vec3 } from '../geometry/vec.ts'
import { type BothSides, hipToAnkle } from './after.ts'
import { aboveMeshMm, siteStock } from './bookkeeping.ts'
import { legAxes } from './leg-axes.ts'
import type { PartialCuts } from './partial-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { Gaps, Site } from './planned.ts'

/**
 * Geometric gaps of a medial partial: medially as in a total; laterally nothing is taken and nothing put back, so gap and slack are
 * 0 there, the native surfaces just touching. `seated` as for a total. Null unless the three medial sites are there.
 */
export function partialGaps(sites: readonly Site[], seated: readonly Site[] = sites): Gaps | null {
  const slackAt = (id: Site['id']) => seated.find((site) => site.id === id)?.differenceMm ?? 0
  const [tibia, distal, posterior] = (['tibia-medial', 'femur-distal-medial', 'femur-posterior-medial'] as const).map(
    (id) => sites.find((site) => site.id === id),
  )
  if (!(tibia && distal && posterior)) return null
  return {
    extensionMedialMm: tibia.totalMm + distal.totalMm,
    extensionLateralMm: 0,
    flexionMedialMm: tibia.totalMm + posterior.totalMm,
    flexionLateralMm: 0,
    slackMm: {
      extensionMedial: slackAt(tibia.id) + slackAt(distal.id),
      extensionLateral: 0,
      flexionMedial: slackAt(tibia.id) + slackAt(posterior.id),
      flexionLateral: 0,
    },
    kind: 'geometric',
  }
}

/**
 * Hip centre to ankle centre after a medial partial, and how much longer than with the intact native surfaces in touch, mm: the
 * lateral surfaces stay in touch, the medial ones are the components', the limb turns as `afterHkaDeg` says (chain of check values
 * §5.1). Null without hip, ankle, limb axis or lateral condyle.
 */
export function partialLegLength(
  { femur, tibia, choices, angles }: PlanInput,
  cuts: PartialCuts,
  afterHkaDeg: number | null,
): { readonly after: number | null; readonly change: number | null } {
  const none = { after: null, change: null }
  const nativeHkaDeg = angles.hkaDeg ?? (angles.arithmeticHkaDeg === null ? null : 180 + angles.arithmeticHkaDeg)
  const condyle = femur.landmarks.condyleDistalLateral?.mm
  const [distal, plateau] = (['femur-distal-medial', 'tibia-medial'] as const).map((id) =>
    cuts.sites.find((site) => site.id === id),
  )
  if (!(condyle && distal && plateau) || nativeHkaDeg === null || afterHkaDeg === null) return none
  const lateral = (id: 'femur-distal-lateral' | 'tibia-lateral') => aboveMeshMm(siteStock(id, choices, 0))
  const down = scale(legAxes(femur.frame, femur.side).proximal, -1)
  const up = legAxes(tibia.frame, tibia.side).proximal
  /** The intact surface over a site, or the component's where its difference is given. */
  const medial = (site: Site, normal: Vec3, differenceMm: number): Vec3 =>
    addScaled(site.point, normal, site.distanceMm - site.totalMm + differenceMm)
  const at = (femoralMm: number, tibialMm: number): readonly [BothSides, BothSides] => [
    {
      medial: medial(distal, cuts.distal.normal, femoralMm),
      lateral: addScaled(condyle, down, lateral('femur-distal-lateral')),
    },
    {
      medial: medial(plateau, cuts.horizontal.normal, tibialMm),
      lateral: addScaled(tibia.lateral.point, up, lateral('tibia-lateral')),
    },
  ]
  const before = hipToAnkle(femur, tibia, ...at(0, 0), 180 - nativeHkaDeg)
  const after = hipToAnkle(femur, tibia, ...at(distal.differenceMm, plateau.differenceMm), 180 - afterHkaDeg)
  return { after, change: before === null || after === null ? null : after - before }
}
