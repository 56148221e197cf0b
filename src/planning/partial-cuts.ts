import type { TibiaAnatomy } from '../anatomy/terms.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Plane } from '../geometry/plane.ts'
import { add, addScaled, distance, scale, toRad, type Vec3 } from '../geometry/vec.ts'
import type { MeasuredPartial } from '../implants/measured.ts'
import { siteStock } from './bookkeeping.ts'
import { condyleSupport } from './condyles.ts'
import { externalRotationOf, femoralDistalNormal, femoralPosteriorNormal, tibialNormal } from './cut-normals.ts'
import { legAxes } from './leg-axes.ts'
import { bookPair, planeAtDistance, planeThroughZero, type SitePair, solveTilt } from './pair.ts'
import type { PlanInput } from './plan.ts'
import type { Site } from './planned.ts'
import { shaftFlexionDeg } from './recipe.ts'
import { nativeMedialSlopeDeg } from './tibial-cut.ts'

/** The cuts of a medial partial, each plane in the patient frame of its bone, with the three sites. */
export interface PartialCuts {
  readonly horizontal: Plane
  readonly vertical: Plane
  readonly distal: Plane
  readonly posterior: Plane
  readonly varusDeg: number
  readonly slopeDeg: number
  readonly rotationDeg: number
  readonly valgusDeg: number
  readonly flexionDeg: number
  readonly externalRotationDeg: number
  /** Where the vertical cut stands medially of the tibial knee centre. */
  readonly verticalMm: number
  readonly sites: readonly Site[]
}

/**
 * Lays the cuts of a medial partial. Kinematic: the native joint lines and slope, difference 0 at the three medial sites;
 * restricted: the same with joint lines held to their limits; mechanical and anatomic: their fixed angles. Any cell gives way to an
 * override. Where native angles are withheld the joint lines are laid on the bones themselves.
 */
export function layPartialCuts(input: PlanInput, component: MeasuredPartial): Result<PartialCuts> {
  const angles = partialAngles(input)
  if (!angles.ok) return angles
  const { varusDeg, slopeDeg, valgusDeg, flexionDeg, rotationDeg } = angles.value
  const { femur, tibia, femurBone, choices } = input
  const tibial = legAxes(tibia.frame, tibia.side)
  const femoral = legAxes(femur.frame, femur.side)
  const { condylePosteriorMedial, condylePosteriorLateral } = femur.landmarks
  if (!(condylePosteriorMedial && condylePosteriorLateral))
    return fail('landmark/missing', 'The femoral cuts need both posterior condyle points.', {
      place: 'landmarks.condylePosteriorMedial',
    })
  const [m, l] = [condylePosteriorMedial.mm, condylePosteriorLateral.mm]
  const condylarLine: Vec3 = [l[0] - m[0], l[1] - m[1], l[2] - m[2]]

  const plateau = medialPair(
    () => tibia.medial.point,
    tibia.frame.origin,
    siteStock('tibia-medial', choices, component.plateau.thicknessMm),
  )
  const support = condyleSupport(femur, femurBone, femoral)
  const ofFemur = (id: 'femur-distal-medial' | 'femur-posterior-medial', mm: number) =>
    medialPair((normal) => support('medial', normal), femur.frame.origin, siteStock(id, choices, mm))
  const distalPair = ofFemur('femur-distal-medial', component.distal.thicknessMm)
  const posteriorPair = ofFemur('femur-posterior-medial', component.posterior.thicknessMm)

  const { depthMm, verticalMm } = choices.cuts.tibia
  const { distalMm, posteriorMm } = choices.cuts.femur
  const onSite = (pair: SitePair, normal: Vec3, mm: number | null) =>
    mm === null ? planeThroughZero(pair, normal, 'medial') : planeAtDistance(pair, normal, 'medial', mm)
  const horizontal = onSite(plateau, tibialNormal(tibial, varusDeg, slopeDeg), depthMm)
  const distalNormal = femoralDistalNormal(femoral, valgusDeg, flexionDeg)
  const distal = onSite(distalPair, distalNormal, distalMm)
  const posterior = onSite(
    posteriorPair,
    femoralPosteriorNormal(femoral, condylarLine, distalNormal, rotationDeg),
    posteriorMm,
  )
  if (horizontal === null || distal === null || posterior === null)
    return fail('cut/misses-bone', 'The medial condyle has no surface where the cuts look for it.', {
      hint: 'Check the landmarks.',
    })
  const trayRotationDeg = choices.cuts.tibia.rotationDeg ?? 0
  const standsMm = verticalMm ?? defaultVerticalShare * distance(tibia.frame.origin, tibia.medial.point)
  return ok({
    horizontal,
    vertical: verticalPlane(tibia, trayRotationDeg, standsMm),
    distal,
    posterior,
    varusDeg,
    slopeDeg,
    rotationDeg: trayRotationDeg,
    valgusDeg,
    flexionDeg,
    externalRotationDeg: externalRotationOf(femoral, condylarLine, posterior.normal),
    verticalMm: standsMm,
    sites: [...bookPair(plateau, horizontal), ...bookPair(distalPair, distal), ...bookPair(posteriorPair, posterior)],
  })
}

/** The vertical cut keeps clear of the medial spine by this share of the way from knee centre to plateau point. */
const defaultVerticalShare = 0.3

/** Contains the tibial axis' direction and the tray's anterior direction; its normal points laterally, into the kept bone. */
function verticalPlane(tibia: TibiaAnatomy, rotationDeg: number, medialMm: number): Plane {
  const axes = legAxes(tibia.frame, tibia.side)
  const turn = toRad(rotationDeg)
  const normal = add(scale(axes.lateral, Math.cos(turn)), scale(axes.anterior, -Math.sin(turn)))
  return { point: addScaled(axes.origin, normal, -medialMm), normal }
}

function medialPair(
  pointAt: (normal: Vec3) => Vec3 | null,
  anchor: Vec3,
  stock: SitePair['stock']['medial'],
): SitePair {
  return {
    pointAt: (compartment, normal) => (compartment === 'medial' ? pointAt(normal) : null),
    anchor,
    stock: { medial: stock, lateral: stock },
  }
}

interface PartialAngles {
  readonly varusDeg: number
  readonly slopeDeg: number
  readonly valgusDeg: number
  readonly flexionDeg: number
  readonly rotationDeg: number
}

function partialAngles(input: PlanInput): Result<PartialAngles> {
  const { femur, tibia, choices } = input
  const { cuts, recipe, recipeOptions, limits } = choices
  const asked = (proposed: PartialAngles): PartialAngles => ({
    varusDeg: cuts.tibia.varusDeg ?? proposed.varusDeg,
    slopeDeg: cuts.tibia.slopeDeg ?? proposed.slopeDeg,
    valgusDeg: cuts.femur.valgusDeg ?? proposed.valgusDeg,
    flexionDeg: cuts.femur.flexionDeg ?? proposed.flexionDeg,
    rotationDeg: cuts.femur.rotationDeg ?? proposed.rotationDeg,
  })
  if (recipe === 'mechanical' || recipe === 'anatomic') {
    const deg = recipe === 'mechanical' ? 0 : 3
    return ok(asked({ varusDeg: deg, slopeDeg: recipeOptions.slopeDeg, valgusDeg: deg, flexionDeg: 0, rotationDeg: 0 }))
  }
  const within = (deg: number) =>
    recipe === 'restricted' ? 90 - Math.min(limits.jointLineHighDeg, Math.max(limits.jointLineLowDeg, 90 - deg)) : deg
  const native = nativeMedialSlopeDeg(tibia)
  const slopeDeg = recipeOptions.slopeReleased ? native : Math.min(10, Math.max(0, native))
  const flexionDeg = recipeOptions.kinematicFlexion === 'shaft' ? shaftFlexionDeg(femur) : 0
  const varus = nativeVarusDeg(input, cuts.tibia.slopeDeg ?? slopeDeg)
  if (!varus.ok) return varus
  const valgus = nativeValgusDeg(input, cuts.femur.flexionDeg ?? flexionDeg)
  if (!valgus.ok) return valgus
  return ok(
    asked({ varusDeg: within(varus.value), slopeDeg, valgusDeg: within(valgus.value), flexionDeg, rotationDeg: 0 }),
  )
}

/** 90 − MPTA; where that is withheld, the tilt that lies equally far below both plateau points. */
function nativeVarusDeg({ tibia, angles }: PlanInput, slopeDeg: number): Result<number> {
  if (angles.mptaDeg !== null) return ok(90 - angles.mptaDeg)
  const axes = legAxes(tibia.frame, tibia.side)
  const level = levelPair((compartment) => tibia[compartment].point, tibia.frame.origin)
  return solveTilt(level, (deg) => tibialNormal(axes, deg, slopeDeg), 'tibial varus')
}

/** 90 − LDFA; where that is withheld, the tilt that touches both distal condyles. */
function nativeValgusDeg({ femur, femurBone, angles }: PlanInput, flexionDeg: number): Result<number> {
  if (angles.ldfaDeg !== null) return ok(90 - angles.ldfaDeg)
  const axes = legAxes(femur.frame, femur.side)
  const level = levelPair(condyleSupport(femur, femurBone, axes), femur.frame.origin)
  return solveTilt(level, (deg) => femoralDistalNormal(axes, deg, flexionDeg), 'femoral valgus')
}

/** Two sites with nothing above and nothing to put back. */
function levelPair(pointAt: SitePair['pointAt'], anchor: Vec3): SitePair {
  const stock = {
    id: 'tibia-medial',
    cartilageMm: 0,
    wornMm: 0,
    kerfMm: 0,
    componentMm: 0,
    meshSurface: 'bone',
  } as const
  return { pointAt, anchor, stock: { medial: stock, lateral: stock } }
}
