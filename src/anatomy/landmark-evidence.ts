import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { distance, reject, scale, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { isExtreme } from './away-from-found.ts'
import { noEvidence } from './landmark.ts'
import { type LimbFrame, limbOfFrame } from './limb.ts'
import { localSurface } from './local-surface.ts'
import type { FemurAnatomy, LandmarkEvidence, LandmarkId, Landmarks, TibiaAnatomy } from './terms.ts'

/** What the surface says of one landmark; `offMm` is how far it lies off it. */
export interface Seen extends LandmarkEvidence {
  readonly offMm: number
}

/** Where a landmark is an extreme or a saddle of the surface, how that direction points out of the bone; unit, patient frame. */
function outwardAt(id: LandmarkId, limb: LimbFrame, landmarks: Landmarks, tibia: TibiaAnatomy | null): Vec3 | null {
  const across = (medial: LandmarkId, lateral: LandmarkId, way: Vec3): Vec3 => {
    const [m, l] = [landmarks[medial], landmarks[lateral]]
    return m && l ? unit(reject(way, unit(sub(l.mm, m.mm)))) : way
  }
  switch (id) {
    case 'condyleDistalMedial':
    case 'condyleDistalLateral':
      return across('condyleDistalMedial', 'condyleDistalLateral', scale(limb.proximal, -1))
    case 'condylePosteriorMedial':
    case 'condylePosteriorLateral':
      return across('condylePosteriorMedial', 'condylePosteriorLateral', scale(limb.anterior, -1))
    case 'epicondyleMedial':
      return scale(limb.lateral, -1)
    case 'epicondyleLateral':
      return limb.lateral
    case 'notchCentre':
    case 'malleolusMedial':
    case 'malleolusLateral':
    case 'ankleCentre':
      return scale(limb.proximal, -1)
    case 'tubercle':
    case 'tubercleMedialThird':
      return limb.anterior
    case 'posteriorNotch':
      return scale(limb.anterior, -1)
    case 'plateauMedial':
      return tibia?.medial.normal ?? limb.proximal
    case 'plateauLateral':
      return tibia?.lateral.normal ?? limb.proximal
    case 'spinesCentre':
    case 'tibialKneeCentre':
    case 'femoralKneeCentre':
    case 'hipCentre':
      return null
  }
}

/**
 * What the surface (patient frame, mm) says of every landmark that lies on it, found or set: how rough and coarse it is there, how
 * sharp the extreme, how far the landmark lies from it. Landmarks off the surface (centres) are not in the answer.
 */
export function surfaceEvidence(
  mesh: Mesh,
  bone: FemurAnatomy | TibiaAnatomy,
): Readonly<Partial<Record<LandmarkId, Seen>>> {
  const limb = limbOfFrame(bone.frame, bone.side)
  const tibia = 'medial' in bone ? bone : null
  const out: Partial<Record<LandmarkId, Seen>> = {}
  for (const [key, landmark] of Object.entries(bone.landmarks)) {
    const id = key as LandmarkId
    const outward = outwardAt(id, limb, bone.landmarks, tibia)
    const local = outward && landmark && localSurface(mesh, landmark.mm, outward)
    if (!local) continue
    const { rmsMm, sharpnessPerMm } = local
    const extreme = isExtreme(id)
    out[id] = {
      fitRmsMm: rmsMm,
      sharpnessPerMm: extreme ? sharpnessPerMm : null,
      disagreementMm: extreme
        ? Math.min(farthestMm, local.fromExtremeMm ?? farthestMm, local.slope * flattestMm)
        : null,
      edgeMm: local.edgeMm,
      noiseMm: bone.noiseMm ?? null,
      offMm: local.offMm,
    }
  }
  return out
}

/** What the surface says of a head's sphere: what is left over, and the triangles on it. */
export function headEvidence(
  mesh: Mesh,
  head: NonNullable<FemurAnatomy['head']>,
  noiseMm: number | null,
): LandmarkEvidence {
  const { positions: p, triangles } = mesh
  const [x, y, z] = head.centre
  const nearest = (0.8 * head.radiusMm) ** 2
  const farthest = (1.2 * head.radiusMm) ** 2
  const near = (first: number): boolean => {
    const v = 3 * triangles[first]!
    const square = (p[v]! - x) ** 2 + (p[v + 1]! - y) ** 2 + (p[v + 2]! - z) ** 2
    return square > nearest && square < farthest
  }
  return { ...noEvidence, fitRmsMm: head.rmsMm, edgeMm: meanEdgeMm(mesh, near), noiseMm }
}

/** Where noise alone bends a flat place, its extreme is where a surface as flat as any joint's would have it: radius, mm. */
const flattestMm = 40
/** A quadric of a few millimetres tells nothing of extremes farther away, mm. */
const farthestMm = 12

/** Distances between landmarks that no adult knee lies outside of, mm (check values §10 with a wide margin; common practice). */
const plausible: readonly (readonly [LandmarkId, LandmarkId, number, number])[] = [
  ['hipCentre', 'femoralKneeCentre', 300, 560],
  ['condyleDistalMedial', 'condyleDistalLateral', 28, 72],
  ['condylePosteriorMedial', 'condylePosteriorLateral', 28, 72],
  ['epicondyleMedial', 'epicondyleLateral', 58, 110],
  ['plateauMedial', 'plateauLateral', 30, 68],
  ['tibialKneeCentre', 'ankleCentre', 250, 480],
  ['posteriorNotch', 'tubercleMedialThird', 30, 85],
  ['malleolusMedial', 'ankleCentre', 10, 45],
]

/**
 * Curvature of a condyle's contact, 1/mm: real and made ones, noisy and coarse, have up to 0.12; bumps of a few millimetres that carried
 * a contact 7 to 12 mm off, 0.2 and more.
 */
const sharpestCondylePerMm = 0.15

/** Why a contact point is none of a condyle's, told by the surface about it; null where it may be. */
export const onSpike = (id: LandmarkId, seen: Seen | undefined): string | null =>
  id.startsWith('condyle') && (seen?.sharpnessPerMm ?? 0) > sharpestCondylePerMm
    ? 'The surface is sharper here than a condyle, perhaps an osteophyte: look, and set it by hand.'
    : null

/** Why a landmark cannot be where it is said to be, told by its distance from its partner; null where it can. */
export function implausible(id: LandmarkId, landmarks: Landmarks): string | null {
  for (const [a, b, low, high] of plausible) {
    if (a !== id && b !== id) continue
    const [p, q] = [landmarks[a], landmarks[b]]
    if (!p || !q) continue
    const mm = distance(p.mm, q.mm)
    if (mm < low || mm > high)
      return `It lies ${mm.toFixed(0)} mm from its partner, where ${low} to ${high} mm are usual in adults.`
  }
  return null
}
