import type { Plane } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import { add, addScaled, lerp, scale, type Vec3 } from '../geometry/vec.ts'
import { boxApMm, type FemoralSize } from '../implants/family.ts'
import { femoralProfile, type SagittalPoint } from '../implants/sagittal-profile.ts'
import type { FemoralBox } from './femoral-box.ts'
import type { PartialCuts } from './partial-cuts.ts'
import type { PartialFemoralPlace } from './partial-place.ts'
import type { FemoralCutId } from './terms.ts'

/** A flat bone-side face of a placed femoral component, in the femur's patient frame. */
export interface ComponentFace {
  readonly id: FemoralCutId
  /** Normal into the kept bone. */
  readonly plane: Plane
  readonly middle: Vec3
  /** Its four corners, in turn. */
  readonly corners: readonly Vec3[]
}

/** The five faces of a total's femoral component in cutting order. */
export function totalFaces(box: FemoralBox, size: FemoralSize): readonly ComponentFace[] {
  const [tip, chamferTop, back, front, flangeFoot, flangeTip] = femoralProfile(size).bone as readonly SagittalPoint[]
  const half = size.overallMlMm / 2
  const inFlange = ([x, y]: SagittalPoint) => x > boxApMm(size) - 1e-9 && y > 0
  const halfAt = (p: SagittalPoint) =>
    inFlange(p) ? half * (1 - (size.flangeTaper * p[1]) / size.flangeHeightMm) : half
  const face = (id: FemoralCutId, plane: Plane, a: SagittalPoint, b: SagittalPoint): ComponentFace =>
    faceBetween(id, plane, box.frame, { at: a, halfMm: halfAt(a) }, { at: b, halfMm: halfAt(b) })
  return [
    face('femur-distal', box.distal, back!, front!),
    face('femur-anterior', box.anterior, flangeFoot!, flangeTip!),
    face('femur-posterior', box.posterior, chamferTop!, tip!),
    face('femur-chamfer-posterior', box.chamferPosterior, chamferTop!, back!),
    face('femur-chamfer-anterior', box.chamferAnterior, front!, flangeFoot!),
  ]
}

/** The three faces of a partial's femoral component in cutting order. */
export function partialFaces(cuts: PartialCuts, place: PartialFemoralPlace): readonly ComponentFace[] {
  const { size, frame, chamfer } = place
  const c = size.posteriorChamferMm
  const halfMm = size.overallMlMm / 2
  const face = (id: FemoralCutId, plane: Plane, a: SagittalPoint, b: SagittalPoint): ComponentFace =>
    faceBetween(id, plane, frame, { at: a, halfMm }, { at: b, halfMm })
  return [
    face('femur-distal', cuts.distal, [c, 0], [size.distalLengthMm, 0]),
    face('femur-posterior', cuts.posterior, [0, c], [0, size.condyleHeightMm]),
    face('femur-chamfer-posterior', chamfer, [0, c], [c, 0]),
  ]
}

interface FaceEnd {
  readonly at: SagittalPoint
  readonly halfMm: number
}

function faceBetween(id: FemoralCutId, plane: Plane, frame: Frame, a: FaceEnd, b: FaceEnd): ComponentFace {
  const inPatient = ([x, y]: SagittalPoint): Vec3 => add(frame.origin, add(scale(frame.x, x), scale(frame.y, y)))
  const [from, to] = [inPatient(a.at), inPatient(b.at)]
  return {
    id,
    plane,
    middle: lerp(from, to, 0.5),
    corners: [
      addScaled(from, frame.z, -a.halfMm),
      addScaled(from, frame.z, a.halfMm),
      addScaled(to, frame.z, b.halfMm),
      addScaled(to, frame.z, -b.halfMm),
    ],
  }
}
