import {
  type Frame,
  intoFrame,
  type Mat3,
  mapPoint,
  multiply,
  type Rigid,
  rotate,
  transpose,
} from '../geometry/rigid.ts'
import { cross, dot, sub, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import { type Side, sideFactor } from './terms.ts'

/** Position of a tibia against a femur: flexion, varus and external tibial rotation positive, degrees. */
export interface JointPose {
  readonly flexionDeg: number
  readonly varusDeg: number
  readonly externalRotationDeg: number
  /** Femoral → tibial origin along the flexion axis, lateral positive, mm. */
  readonly lateralMm: number
  /** Along the floating axis, anterior positive, mm. */
  readonly anteriorMm: number
  /** Along the tibial long axis, proximal positive (distraction is negative), mm. */
  readonly proximalMm: number
}

/**
 * Joint coordinate system of a knee (Grood & Suntay, J Biomech Eng 1983;105:136): flexion about the femoral Z, varus
 * about the floating axis, rotation about the tibial Y. Both frames (X anterior, Y proximal, Z to the subject's
 * right) are given in one common frame, mm. At 90° of varus the floating axis is undefined and rotation is put to 0.
 */
export function jointPose(femur: Frame, tibia: Frame, side: Side): JointPose {
  const s = sideFactor(side)
  const r = tibiaInFemur(femur, tibia)
  const sine = Math.max(-1, Math.min(1, r[7]))
  const singular = Math.hypot(r[1], r[4]) < 1e-12
  const flexion = singular ? 0 : Math.atan2(r[1], r[4])
  const rotation = singular ? 0 : Math.atan2(r[6], r[8])
  const e1 = femur.z
  const e3 = tibia.y
  const floating = cross(e3, e1)
  const e2 = singular ? femur.x : unit(floating)
  const h = sub(tibia.origin, femur.origin)
  return {
    flexionDeg: toDeg(flexion),
    varusDeg: toDeg(s * Math.atan2(sine, Math.hypot(r[1], r[4]))),
    externalRotationDeg: toDeg(s * rotation),
    lateralMm: s * dot(h, e1),
    anteriorMm: dot(h, e2),
    proximalMm: dot(h, e3),
  }
}

/**
 * The map from the femur's own coordinates to the tibia's own coordinates that puts the tibia in `pose`: the inverse
 * of `jointPose`. The axes of a pose at 90° of varus are dependent; there the offset across them is left at 0.
 */
export function tibiaFromPose(pose: JointPose, side: Side): Rigid {
  const s = sideFactor(side)
  const rotation = rotationFromPose(pose, s)
  const e1: Vec3 = [0, 0, 1]
  const e3: Vec3 = [rotation[1], rotation[4], rotation[7]]
  const floating = cross(e3, e1)
  const e2: Vec3 = Math.hypot(...floating) < 1e-12 ? [1, 0, 0] : unit(floating)
  const originInFemur = solveRows(e1, e2, e3, [s * pose.lateralMm, pose.anteriorMm, pose.proximalMm])
  const tibiaFromFemur = transpose(rotation)
  const t = rotate(tibiaFromFemur, originInFemur)
  return { rotation: tibiaFromFemur, translation: [-t[0], -t[1], -t[2]] }
}

/** The tibia's frame, in the frame that holds `femur`, when the tibia stands in `pose`. */
export function tibiaFrameFromPose(femur: Frame, pose: JointPose, side: Side): Frame {
  const tibiaFromFemur = tibiaFromPose(pose, side)
  const femurFromTibia = transpose(tibiaFromFemur.rotation)
  const outward: Mat3 = transpose(intoFrame(femur).rotation)
  const axes = multiply(outward, femurFromTibia)
  const t = tibiaFromFemur.translation
  const originInFemur = rotate(femurFromTibia, [-t[0], -t[1], -t[2]])
  return {
    origin: mapPoint({ rotation: outward, translation: femur.origin }, originInFemur),
    x: [axes[0], axes[3], axes[6]],
    y: [axes[1], axes[4], axes[7]],
    z: [axes[2], axes[5], axes[8]],
  }
}

function tibiaInFemur(f: Frame, t: Frame): Mat3 {
  return [
    dot(f.x, t.x),
    dot(f.x, t.y),
    dot(f.x, t.z),
    dot(f.y, t.x),
    dot(f.y, t.y),
    dot(f.y, t.z),
    dot(f.z, t.x),
    dot(f.z, t.y),
    dot(f.z, t.z),
  ]
}

/** Rz(−flexion)·Rx(varus)·Ry(−rotation) for a right knee; a left one is its mirror image across z. */
function rotationFromPose(pose: JointPose, s: 1 | -1): Mat3 {
  const a = toRad(pose.flexionDeg)
  const v = toRad(pose.varusDeg)
  const g = toRad(pose.externalRotationDeg)
  const rz: Mat3 = [Math.cos(a), Math.sin(a), 0, -Math.sin(a), Math.cos(a), 0, 0, 0, 1]
  const rx: Mat3 = [1, 0, 0, 0, Math.cos(v), -Math.sin(v), 0, Math.sin(v), Math.cos(v)]
  const ry: Mat3 = [Math.cos(g), 0, -Math.sin(g), 0, 1, 0, Math.sin(g), 0, Math.cos(g)]
  const r = multiply(rz, multiply(rx, ry))
  return s === 1 ? r : [r[0], r[1], -r[2], r[3], r[4], -r[5], -r[6], -r[7], r[8]]
}

function solveRows(a: Vec3, b: Vec3, c: Vec3, right: Vec3): Vec3 {
  const bc = cross(b, c)
  const ca = cross(c, a)
  const ab = cross(a, b)
  const det = dot(a, bc)
  if (Math.abs(det) < 1e-12) return [right[1], right[2], right[0]]
  return [
    (right[0] * bc[0] + right[1] * ca[0] + right[2] * ab[0]) / det,
    (right[0] * bc[1] + right[1] * ca[1] + right[2] * ab[1]) / det,
    (right[0] * bc[2] + right[1] * ca[2] + right[2] * ab[2]) / det,
  ]
}
