import { addScaled, length, reject, scale, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import { doubtfulBelow } from './confidence-word.ts'
import {
  ankleBetweenMalleoli,
  type DirectionId,
  type Displacements,
  displacedFemur,
  displacedTibia,
  kneeBetweenEpicondyles,
  kneeBetweenPlateaus,
} from './displaced.ts'
import { type LimbFrame, limbOfFrame } from './limb.ts'
import type { BoneName, FemurAnatomy, Landmark, LandmarkId, References, TibiaAnatomy } from './terms.ts'

/** What an error is booked under in a budget: the placing of a landmark, the surface that all of them are read from, or a shaft cut short. */
export type ErrorGroup = LandmarkId | 'meshSurface' | 'cutShaft'

/** One independent, normally distributed error: a landmark along one direction, or the tilt of a patch or a shaft. */
export interface ErrorSource {
  readonly group: ErrorGroup
  readonly bone: BoneName
  readonly moves: LandmarkId | DirectionId
  /** Unit, in the patient frame of the bone. */
  readonly direction: Vec3
  /** 1 SD: mm of a landmark, radians of a patch or shaft. */
  readonly sd: number
}

/** Both bones as read, in the patient frame of each file. */
export interface KneeAnatomy {
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
}

/**
 * The errors that angles and cuts of a knee hang on. A landmark read off the surface errs along it by its own SD and off
 * it by the surface's (`meshSdMm`, no more than its own SD) and by the chord of its triangles or the noise of its bone; a centre errs by its SD in every direction. A patch tilts by what
 * independent surface errors over patches of 10 mm leave of it (least squares: SD / (radius of gyration · √cells); the 10 mm
 * are common practice, no source); one that is found uneven also by what it is off a smooth surface / radius of gyration. Where the surface is seen to be rough (`noiseMm` of the bone), both grow by what that noise did to
 * degraded legs. The axis of a shaft that the scan cuts off tilts by what such axes do (`shaftTiltDeg`). Landmarks with SD 0 are taken as exact. The list, and with it every seeded draw, is the same for a knee and its mirror
 * image.
 */
export function errorSources(knee: KneeAnatomy, references: References, meshSdMm: number): readonly ErrorSource[] {
  const { femur, tibia } = knee
  const limbs = { femur: limbOfFrame(femur.frame, femur.side), tibia: limbOfFrame(tibia.frame, tibia.side) }
  const out: ErrorSource[] = []
  for (const bone of ['femur', 'tibia'] as const) {
    const limb = limbs[bone]
    for (const id of bone === 'femur' ? femoralSources(femur, references) : tibialSources(tibia, references)) {
      const landmark = knee[bone].landmarks[id]
      const sdMm = landmark?.sdMm ?? 0
      if (!(sdMm > 0)) continue
      const normal = surfaceNormal(knee, limb, id)
      if (normal === null) {
        for (const direction of [limb.anterior, limb.proximal, limb.lateral])
          out.push({ group: id, bone, moves: id, direction, sd: sdMm })
        continue
      }
      for (const direction of tangents(normal, limb)) out.push({ group: id, bone, moves: id, direction, sd: sdMm })
      const off = Math.hypot(Math.min(sdMm, meshSdMm), Math.max(chordMm(landmark), seenNoiseMm(knee[bone])))
      if (off > 0) out.push({ group: 'meshSurface', bone, moves: id, direction: normal, sd: off })
    }
  }
  for (const [patch, plateau, at] of [
    ['patchMedial', 'plateauMedial', tibia.medial],
    ['patchLateral', 'plateauLateral', tibia.lateral],
  ] as const) {
    if (!((tibia.landmarks[plateau]?.sdMm ?? 0) > 0 && meshSdMm > 0)) continue
    const cells = Math.max(1, at.areaMm2 / cellMm2)
    const gyrationMm = Math.max(1, Math.sqrt(at.areaMm2 / Math.PI) / 2)
    const sd = Math.hypot(meshSdMm, noiseOf(tibia)) / (gyrationMm * Math.sqrt(cells))
    const uneven = (at.unevenMm ?? 0) / gyrationMm
    for (const direction of tangents(at.normal, limbs.tibia)) {
      out.push({ group: 'meshSurface', bone: 'tibia', moves: patch, direction, sd })
      if (uneven > 0) out.push({ group: plateau, bone: 'tibia', moves: patch, direction, sd: uneven })
    }
  }
  for (const [bone, axis] of [
    ['femur', femur.distalShaft],
    ['tibia', tibia.proximalShaft],
  ] as const) {
    const sd = toRad(knee[bone].shaftTiltDeg ?? 0)
    if (!(sd > 0)) continue
    for (const direction of tangents(axis.direction, limbs[bone]))
      out.push({ group: 'cutShaft', bone, moves: 'cutShaft', direction, sd })
  }
  return out
}

/** The knee with every source off by its own amount (in SDs); the same object where no source moves a bone. */
export function displacedKnee(
  knee: KneeAnatomy,
  sources: readonly ErrorSource[],
  amounts: ArrayLike<number>,
  references: References,
): KneeAnatomy {
  const by: Record<BoneName, Record<string, Vec3>> = { femur: {}, tibia: {} }
  for (let k = 0; k < sources.length; k++) {
    const amount = amounts[k]!
    if (amount === 0) continue
    const { bone, moves, direction, sd } = sources[k]!
    const before = by[bone][moves]
    by[bone][moves] = before ? addScaled(before, direction, amount * sd) : scale(direction, amount * sd)
  }
  const some = (d: Displacements) => Object.keys(d).length > 0
  return {
    femur: some(by.femur) ? displacedFemur(knee.femur, by.femur, references) : knee.femur,
    tibia: some(by.tibia) ? displacedTibia(knee.tibia, by.tibia, references) : knee.tibia,
  }
}

/** Radius of a condyle or plateau, from which a triangle's chord stands off, mm. */
const roundMm = 25

/** How far the triangles about a landmark stand off the round surface they bridge; a doubtful landmark without triangles by its scatter. */
function chordMm(landmark: Landmark | undefined): number {
  const edge = landmark?.evidence?.edgeMm ?? null
  if (edge !== null) return (edge * edge) / (8 * roundMm)
  return landmark && landmark.confidence < doubtfulBelow ? 0.3 * (landmark.sdMm ?? 0) : 0
}

/**
 * How far contact points, tips and patches of degraded legs lay off the true surface, per mm of noise seen on the bone (SD; 40 synthetic
 * legs with noise up to 0.8 mm: 1.2 to 1.6).
 */
const offPerNoise = 1.5
/** More than this is what coarse triangles leave over (their chord counts by itself), mm. */
const mostNoiseMm = 0.5
const noiseOf = ({ noiseMm }: FemurAnatomy | TibiaAnatomy): number => Math.min(mostNoiseMm, noiseMm ?? 0)
const seenNoiseMm = ({ noiseMm }: FemurAnatomy | TibiaAnatomy): number => offByNoiseMm(noiseMm ?? 0)

/** How far the found surface lies off the true one where noise is seen on it, 1 SD, mm. */
export const offByNoiseMm = (noiseMm: number): number => offPerNoise * Math.min(mostNoiseMm, noiseMm)

/** How far points read off a bone's surface lie off the true one, 1 SD, mm: by its accuracy (`meshSdMm`), and by the noise seen on it. */
export const offSurfaceSdMm = (meshSdMm: number, bone: FemurAnatomy | TibiaAnatomy): number =>
  Math.hypot(meshSdMm, seenNoiseMm(bone))

/** Surface whose errors go together, mm². */
const cellMm2 = (Math.PI / 4) * 10 * 10

function femoralSources({ landmarks, truncated }: FemurAnatomy, references: References): readonly LandmarkId[] {
  return [
    ...(truncated ? [] : (['hipCentre'] as const)),
    ...(kneeBetweenEpicondyles(landmarks, references) ? [] : (['femoralKneeCentre'] as const)),
    'condyleDistalMedial',
    'condyleDistalLateral',
    'condylePosteriorMedial',
    'condylePosteriorLateral',
    'epicondyleMedial',
    'epicondyleLateral',
  ]
}

function tibialSources({ landmarks, truncated }: TibiaAnatomy, references: References): readonly LandmarkId[] {
  const byMalleoli = ankleBetweenMalleoli(landmarks, references)
  return [
    ...(kneeBetweenPlateaus(landmarks, references) ? [] : (['tibialKneeCentre'] as const)),
    ...(truncated || byMalleoli ? [] : (['ankleCentre'] as const)),
    'malleolusMedial',
    'malleolusLateral',
    'posteriorNotch',
    'tubercleMedialThird',
    'plateauMedial',
    'plateauLateral',
  ]
}

/** Direction off the surface at landmarks that are read off it; null for centres and constructed points. */
function surfaceNormal({ tibia }: KneeAnatomy, limb: LimbFrame, id: LandmarkId): Vec3 | null {
  switch (id) {
    case 'plateauMedial':
      return tibia.medial.normal
    case 'plateauLateral':
      return tibia.lateral.normal
    case 'condyleDistalMedial':
    case 'condyleDistalLateral':
    case 'malleolusMedial':
    case 'malleolusLateral':
      return limb.proximal
    case 'condylePosteriorMedial':
    case 'condylePosteriorLateral':
      return limb.anterior
    case 'epicondyleMedial':
    case 'epicondyleLateral':
      return limb.lateral
    case 'ankleCentre':
      return tibia.landmarks.ankleCentre?.source === 'found' ? limb.proximal : null
    default:
      return null
  }
}

/** Two directions across a unit normal, built from the limb's own, so that they mirror with it. */
function tangents(normal: Vec3, limb: LimbFrame): readonly [Vec3, Vec3] {
  const axes = [limb.anterior, limb.proximal, limb.lateral]
  const first = unit(farthest(axes.map((axis) => reject(axis, normal))))
  return [first, unit(farthest(axes.map((axis) => reject(reject(axis, normal), first))))]
}

const farthest = (vectors: readonly Vec3[]): Vec3 =>
  vectors.reduce((best, v) => (length(v) > length(best) * (1 + 1e-9) ? v : best))
