import type { Plane } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import { add, cross, dot, scale, toRad, type Vec3 } from '../geometry/vec.ts'
import { boxApMm, type FemoralSize } from '../implants/family.ts'

/** The five bone-side planes of a femoral component where it is placed, in the femur's patient frame, normals into the bone. */
export interface FemoralBox {
  readonly distal: Plane
  readonly anterior: Plane
  readonly posterior: Plane
  readonly chamferPosterior: Plane
  readonly chamferAnterior: Plane
  /** The component's own frame: X anterior, Y proximal, Z to the subject's right (a left component is mirrored). */
  readonly frame: Frame
}

/**
 * Places the box on its distal and posterior planes (square to each other), midway over `middle` between the sides.
 */
export function femoralBox(distal: Plane, posterior: Plane, middle: Vec3, size: FemoralSize): FemoralBox {
  const frame = boxFrame(distal, posterior, middle)
  const at = (x: number, y: number): Vec3 => add(frame.origin, add(scale(frame.x, x), scale(frame.y, y)))
  const facing = (x: number, y: number): Vec3 => {
    const l = Math.hypot(x, y)
    return add(scale(frame.x, x / l), scale(frame.y, y / l))
  }
  const tilt = toRad(size.flangeTiltDeg)
  const box = boxApMm(size)
  const reach = size.anteriorChamferMm
  return {
    distal: { point: at(box / 2, 0), normal: distal.normal },
    posterior: { point: at(0, size.condyleHeightMm / 2), normal: posterior.normal },
    anterior: { point: at(box, 0), normal: facing(-Math.cos(tilt), Math.sin(tilt)) },
    chamferPosterior: { point: at(size.posteriorChamferMm, 0), normal: facing(1, 1) },
    chamferAnterior: { point: at(box - reach, 0), normal: facing(-reach, reach * (1 + Math.tan(tilt))) },
    frame,
  }
}

function boxFrame(distal: Plane, posterior: Plane, middle: Vec3): Frame {
  const y = distal.normal
  const x = posterior.normal
  const z = cross(x, y)
  const origin = add(add(scale(y, dot(y, distal.point)), scale(x, dot(x, posterior.point))), scale(z, dot(z, middle)))
  return { origin, x, y, z }
}
