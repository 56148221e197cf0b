import { type Side, sideFactor } from '../anatomy/terms.ts'
import type { Plane } from '../geometry/plane.ts'
import { type Frame, rotate, rotationAbout } from '../geometry/rigid.ts'
import { addScaled, dot, scale, sub, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import type { ComponentFace } from './component-faces.ts'
import { type CutDeparture, departs } from './terms.ts'

/**
 * The plane sawn for a component's face: the face itself, moved and turned by the departure about its middle. `frame` is the
 * component's own (X anterior, Y proximal, Z to the subject's right, patient frame). No departure gives the face's own plane.
 */
export function sawnPlane(face: ComponentFace, frame: Frame, side: Side, departure: CutDeparture): Plane {
  if (!departs(departure)) return face.plane
  const flexed = rotate(rotationAbout(frame.z, -toRad(departure.flexionDeg)), face.plane.normal)
  const turn = toRad(departure.medialDeg)
  const medial = medialOf(frame, side)
  return {
    point: addScaled(face.middle, face.plane.normal, departure.deeperMm),
    normal: unit(addScaled(scale(flexed, Math.cos(turn)), medial, -Math.sin(turn))),
  }
}

/** The departure that brings a face's cut onto a plane (normal into the kept bone, within 90° of the face's). */
export function departureTo(face: ComponentFace, frame: Frame, side: Side, plane: Plane): CutDeparture {
  const { normal } = plane
  const own = face.plane.normal
  const angle = (n: Vec3) => Math.atan2(dot(n, frame.y), dot(n, frame.x))
  const turned = toDeg(angle(own) - angle(normal))
  return {
    deeperMm: dot(normal, sub(plane.point, face.middle)) / dot(normal, own),
    flexionDeg: turned > 180 ? turned - 360 : turned <= -180 ? turned + 360 : turned,
    medialDeg: 0 - toDeg(Math.asin(Math.max(-1, Math.min(1, dot(normal, medialOf(frame, side)))))),
  }
}

const medialOf = (frame: Frame, side: Side): Vec3 => scale(frame.z, -sideFactor(side))
