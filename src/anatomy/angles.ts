import { type Frame, intoFrame, mapPoint, mapVector } from '../geometry/rigid.ts'
import { dot, sub, toDeg, unit, type Vec3 } from '../geometry/vec.ts'
import { type Side, sideFactor } from './terms.ts'

/**
 * Angle between a joint line and the femoral Y in the coronal plane, measured on the lateral side, 90 = square
 * (LDFA; Paley et al., Orthop Clin North Am 1994;25:425). Points in the frame that holds `femur`, mm.
 */
export function ldfaDeg(femur: Frame, distalMedial: Vec3, distalLateral: Vec3, side: Side): number {
  const d = mapVector(intoFrame(femur), sub(distalLateral, distalMedial))
  return toDeg(Math.atan2(sideFactor(side) * d[2], d[1]))
}

/** One plateau as the angles need it: its point and the normal of its patch, in the frame that holds the tibia. */
export interface PlateauPlane {
  readonly point: Vec3
  readonly normal: Vec3
}

/**
 * The two plateau points moved along their own sagittal traces to the mean of their antero-posterior levels; in the
 * tibia's own coordinates, mm. Parallel patches make the joint line independent of where along them the points lie.
 */
export function levelledJointLine(
  tibia: Frame,
  medial: PlateauPlane,
  lateral: PlateauPlane,
): { readonly medial: Vec3; readonly lateral: Vec3 } {
  const into = intoFrame(tibia)
  const m = mapPoint(into, medial.point)
  const l = mapPoint(into, lateral.point)
  const x = (m[0] + l[0]) / 2
  const slide = (p: Vec3, normal: Vec3): Vec3 => {
    const n = mapVector(into, normal)
    return [x, n[1] > 1e-9 ? p[1] - (n[0] / n[1]) * (x - p[0]) : p[1], p[2]]
  }
  return { medial: slide(m, medial.normal), lateral: slide(l, lateral.normal) }
}

/** MPTA of a joint line given in the tibia's own coordinates: 90 = square, smaller = medial side lower. */
export function mptaOfLineDeg(medial: Vec3, lateral: Vec3, side: Side): number {
  const d = sub(medial, lateral)
  return toDeg(Math.atan2(-sideFactor(side) * d[2], -d[1]))
}

/** MPTA by the levelled joint line (the default) of the tibia, degrees. */
export function mptaDeg(tibia: Frame, medial: PlateauPlane, lateral: PlateauPlane, side: Side): number {
  const line = levelledJointLine(tibia, medial, lateral)
  return mptaOfLineDeg(line.medial, line.lateral, side)
}

/** MPTA by the plain line through the two plateau points, degrees. */
export function mptaPlainDeg(tibia: Frame, medial: Vec3, lateral: Vec3, side: Side): number {
  const into = intoFrame(tibia)
  return mptaOfLineDeg(mapPoint(into, medial), mapPoint(into, lateral), side)
}

/**
 * Slope of a plane with this normal in the tibia's sagittal plane, posterior-down positive, against the axis with
 * direction `axis` (the tibial Y or the proximal shaft), degrees.
 */
export function slopeDeg(tibia: Frame, normal: Vec3, axis: Vec3): number {
  const into = intoFrame(tibia)
  const n = mapVector(into, normal)
  const a = mapVector(into, axis)
  return toDeg(Math.atan2(-n[0], n[1]) - Math.atan2(-a[0], a[1]))
}

/** HKA from the varus of the joint coordinate system: 180 neutral, below = varus. */
export const hkaDeg = (varusDeg: number): number => 180 - varusDeg

/** HKA with the femoral knee centre serving both bones; points in one common frame, mm. */
export function hkaOneCentreDeg(femur: Frame, ankleCentre: Vec3, side: Side): number {
  const tibialAxis = unit(sub(femur.origin, ankleCentre))
  const z = sideFactor(side) * dot(femur.z, tibialAxis)
  return 180 - toDeg(Math.asin(Math.max(-1, Math.min(1, z))))
}

/** Arithmetic HKA of a knee, degrees, negative = varus (MacDessi et al., Bone Jt Open 2020;1(7):339). */
export const arithmeticHkaDeg = (mpta: number, ldfa: number): number => mpta - ldfa

/** Joint line obliquity, degrees; 180 = both joint lines' sum square (MacDessi et al., Bone Joint J 2021;103-B:329). */
export const jointLineObliquityDeg = (mpta: number, ldfa: number): number => mpta + ldfa

/**
 * Joint line convergence, lateral opening positive, from the other three (check values §1.3):
 * JLCA = MPTA − LDFA − (HKA − 180).
 */
export const jlcaDerivedDeg = (mpta: number, ldfa: number, hka: number): number => mpta - ldfa - (hka - 180)

/**
 * Joint line convergence measured: angle from the tibial to the femoral joint line in the femoral coronal plane,
 * lateral opening positive. Directions point laterally and are in the frame that holds `femur`.
 */
export function jlcaByLinesDeg(femur: Frame, femoralLine: Vec3, tibialLine: Vec3, side: Side): number {
  const into = intoFrame(femur)
  const rise = (line: Vec3): number => {
    const d = mapVector(into, line)
    return Math.atan2(d[1], sideFactor(side) * d[2])
  }
  return toDeg(rise(femoralLine) - rise(tibialLine))
}

/**
 * Rotation of a medio-lateral line (medial → lateral) to the posterior condylar line in the femoral axial plane,
 * external positive: the lateral end of an externally rotated line lies further back.
 */
export function externalRotationDeg(femur: Frame, line: Vec3, posteriorCondylarLine: Vec3, side: Side): number {
  const into = intoFrame(femur)
  const turn = (d: Vec3): number => {
    const v = mapVector(into, d)
    return Math.atan2(-v[0], sideFactor(side) * v[2])
  }
  return toDeg(turn(line) - turn(posteriorCondylarLine))
}
