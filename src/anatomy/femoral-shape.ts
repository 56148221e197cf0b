import type { BoneMesh } from '../geometry/bone.ts'
import { addScaled, distance, dot, reject, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { medialSulcus } from './epicondylar-sulcus.ts'
import { intoLimb, limbOfFrame, slab } from './limb.ts'
import { neckAxis } from './neck-axis.ts'
import { shaftAxis } from './shaft-axis.ts'
import type { FemoralShape, FemurAnatomy } from './terms.ts'
import { trochlearGroove } from './trochlear-groove.ts'

/**
 * What the shape of a whole femur says beyond its landmarks, in the patient frame: the axis of the neck, the foremost point of the trochlear ridges (greatest extent
 * square to the distal shaft axis and the medio-lateral direction, below 0.10 L), and the bow of the shaft: the farthest of 21
 * section centroids, 0.20 L to 0.80 L, from the chord of the first and last, with its anterior and lateral parts; the line of the
 * trochlear groove and the sulcus of the medial epicondyle, which a distal femur shows too. L is the
 * distance from knee to hip centre. What the scan does not show is null.
 */
export function femoralShape(bone: BoneMesh, femur: FemurAnatomy): FemoralShape {
  const limb = limbOfFrame(femur.frame, femur.side)
  const hip = femur.landmarks.hipCentre?.mm
  const lengthMm = hip ? distance(hip, limb.origin) : null
  const axis = femur.distalShaft.direction
  const forward = unit(reject(reject(limb.anterior, axis), limb.lateral))
  const reach = lengthMm === null ? 45 : 0.1 * lengthMm
  const anteriorRidge = foremost(bone, limb.origin, axis, forward, reach)
  const groove = trochlearGroove(bone, femur, limb)
  const medial = femur.landmarks.epicondyleMedial?.mm
  const about = (p: Vec3) => slab(bone.mesh, p, limb.proximal, -sulcusSlabMm, sulcusSlabMm)
  const sulcus = medial ? medialSulcus(about(medial), limb, intoLimb(limb, medial)) : null
  const distal = { anteriorRidge, groove, sulcus }
  if (lengthMm === null || !hip || femur.truncated) return { ...distal, neck: null, bow: null }
  const start = addScaled(
    femur.shaft.point,
    femur.shaft.direction,
    0.87 * lengthMm - dot(sub(femur.shaft.point, limb.origin), limb.proximal),
  )
  const neck = femur.head && neckAxis(bone, hip, femur.head.radiusMm, sub(start, hip))
  const shaft = shaftAxis(bone, limb.origin, limb.proximal, 0.2 * lengthMm, 0.8 * lengthMm)
  const first = shaft?.centres[0]
  const last = shaft?.centres.at(-1)
  if (!shaft || !first || !last) return { ...distal, neck, bow: null }
  const chord = unit(sub(last, first))
  let farthest: Vec3 = [0, 0, 0]
  for (const centre of shaft.centres) {
    const off = reject(sub(centre, first), chord)
    if (dot(off, off) > dot(farthest, farthest)) farthest = off
  }
  return {
    ...distal,
    neck,
    bow: {
      mm: Math.sqrt(dot(farthest, farthest)),
      anteriorMm: dot(farthest, limb.anterior),
      lateralMm: dot(farthest, limb.lateral),
      chordMm: distance(first, last),
    },
    shaftMiddle: shaft.centres,
  }
}

/** Surface this far above and below the medial epicondyle is looked at for its sulcus, mm. */
const sulcusSlabMm = 24

/** The vertex farthest along `forward` between the knee centre's level and `reachMm` above it along `axis`. */
function foremost(bone: BoneMesh, origin: Vec3, axis: Vec3, forward: Vec3, reachMm: number): Vec3 | null {
  const p = bone.mesh.positions
  let best = Number.NEGATIVE_INFINITY
  let at = -1
  for (let i = 0; i < p.length; i += 3) {
    const x = p[i]! - origin[0]
    const y = p[i + 1]! - origin[1]
    const z = p[i + 2]! - origin[2]
    const up = x * axis[0] + y * axis[1] + z * axis[2]
    if (up < 0 || up > reachMm) continue
    const ahead = x * forward[0] + y * forward[1] + z * forward[2]
    if (ahead > best) {
      best = ahead
      at = i
    }
  }
  return at < 0 ? null : [p[at]!, p[at + 1]!, p[at + 2]!]
}
