import type { FemurAnatomy, TibiaAnatomy } from '../anatomy/terms.ts'
import { addScaled, distance, midpoint, toRad, type Vec3 } from '../geometry/vec.ts'
import type { FemoralCuts } from './femoral-cuts.ts'
import type { AfterCuts, Consequences, Patellofemoral, Site } from './planned.ts'
import type { SiteId } from './terms.ts'
import type { TibialCut } from './tibial-cut.ts'

/** A point medially and one laterally, in the patient frame of their bone. */
export interface BothSides {
  readonly medial: Vec3
  readonly lateral: Vec3
}

/** Bearing points of the placed components. */
export interface PlacedBearings {
  readonly femur: BothSides
  readonly tibia: BothSides
}

export interface AfterInput {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  readonly femoral: FemoralCuts
  readonly tibial: TibialCut
  readonly bearings: PlacedBearings
  readonly nativeHkaDeg: number | null
  readonly notchMm: number | null
  readonly patellofemoral: Patellofemoral | null
}

/** Limb and joint lines with the components in (their own joint line convergence 0), mm and degrees. */
export function afterCuts(input: AfterInput): AfterCuts {
  const { femoral, tibial } = input
  const ldfaDeg = 90 - femoral.valgusDeg
  const mptaDeg = 90 - tibial.varusDeg
  return {
    hkaDeg: 180 + mptaDeg - ldfaDeg,
    ldfaDeg,
    mptaDeg,
    slopeDeg: tibial.slopeDeg,
    jointLineShiftMedialMm: differenceAt(femoral.sites, 'femur-distal-medial'),
    jointLineShiftLateralMm: differenceAt(femoral.sites, 'femur-distal-lateral'),
    legLengthMm: legLengthAfter(input),
  }
}

/** What else changes between the native knee and the planned one. */
export function consequencesOf(input: AfterInput): Consequences {
  const { femoral, tibial } = input
  const less = (v: number | null) => (v === null ? null : 0 - v)
  const [before, after] = [legLengthBefore(input), legLengthAfter(input)]
  return {
    legLengthChangeMm: before === null || after === null ? null : after - before,
    jointLineObliquityDeg: 180 - femoral.valgusDeg - tibial.varusDeg,
    tibialShiftMedialMm: less(differenceAt(tibial.sites, 'tibia-medial')),
    tibialShiftLateralMm: less(differenceAt(tibial.sites, 'tibia-lateral')),
    posteriorOffsetChangeMedialMm: less(differenceAt(femoral.sites, 'femur-posterior-medial')),
    posteriorOffsetChangeLateralMm: less(differenceAt(femoral.sites, 'femur-posterior-lateral')),
    notchMm: input.notchMm,
    patellofemoral: input.patellofemoral,
  }
}

const differenceAt = (sites: readonly Site[], id: SiteId): number | null =>
  sites.find((site) => site.id === id)?.differenceMm ?? null

/** Hip to ankle with the middles of both bearings in touch; null without hip or ankle. */
function legLengthAfter({ femur, tibia, femoral, tibial, bearings }: AfterInput): number | null {
  return hipToAnkle(femur, tibia, bearings.femur, bearings.tibia, tibial.varusDeg - femoral.valgusDeg)
}

/** The same with the intact native surfaces and the native limb axis. */
function legLengthBefore({ femur, tibia, femoral, tibial, nativeHkaDeg }: AfterInput): number | null {
  const distal = intactSurface(femoral.sites, 'femur-distal', femoral.distal.normal)
  const plateau = intactSurface(tibial.sites, 'tibia', tibial.plane.normal)
  if (nativeHkaDeg === null || distal === null || plateau === null) return null
  return hipToAnkle(femur, tibia, distal, plateau, 180 - nativeHkaDeg)
}

/** Points of the intact native surface over both sites of a cut. */
function intactSurface(sites: readonly Site[], prefix: 'femur-distal' | 'tibia', normal: Vec3): BothSides | null {
  const at = (compartment: string) => {
    const site = sites.find((s) => s.id === `${prefix}-${compartment}`)
    return site && addScaled(site.point, normal, site.distanceMm - site.totalMm)
  }
  const [medial, lateral] = [at('medial'), at('lateral')]
  return medial && lateral ? { medial, lateral } : null
}

/** Planar chain of check values §5.1, D, over the middles of the two surfaces; null without hip or ankle. */
export function hipToAnkle(
  femur: FemurAnatomy,
  tibia: TibiaAnatomy,
  femoral: BothSides,
  tibial: BothSides,
  varusDeg: number,
): number | null {
  const hip = femur.truncated ? undefined : femur.landmarks.hipCentre?.mm
  const ankle = tibia.truncated ? undefined : tibia.landmarks.ankleCentre?.mm
  if (!(hip && ankle)) return null
  const thigh = distance(hip, midpoint(femoral.medial, femoral.lateral))
  const shank = distance(ankle, midpoint(tibial.medial, tibial.lateral))
  return Math.sqrt(thigh * thigh + shank * shank + 2 * thigh * shank * Math.cos(toRad(varusDeg)))
}
