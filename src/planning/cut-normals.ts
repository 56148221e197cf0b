import { addScaled, dot, reject, scale, toDeg, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import { directionOf, type LegAxes, partsOf } from './leg-axes.ts'

/**
 * Normals of the cuts from their angles and back (conventions: projected angles, right-leg form; degrees outside).
 * Every normal is a unit vector into the kept bone, in the bone's patient frame.
 */

/** Tibial cut: varus positive (medial lower), slope posterior-down positive. The kept bone is distal. */
export const tibialNormal = (tibia: LegAxes, varusDeg: number, slopeDeg: number): Vec3 =>
  unit(directionOf(tibia, Math.tan(toRad(slopeDeg)), -1, Math.tan(toRad(varusDeg))))

/** Varus and slope of a tibial cut, degrees. */
export function tibialAngles(tibia: LegAxes, normal: Vec3): { readonly varusDeg: number; readonly slopeDeg: number } {
  const [a, p, l] = partsOf(tibia, normal)
  // 0 − … so that a square cut reads 0, never −0.
  return { varusDeg: 0 - toDeg(Math.atan(l / p)), slopeDeg: 0 - toDeg(Math.atan(a / p)) }
}

/** Femoral distal cut: valgus positive, flexion positive (anterior edge lower). The kept bone is proximal. */
export const femoralDistalNormal = (femur: LegAxes, valgusDeg: number, flexionDeg: number): Vec3 =>
  unit(directionOf(femur, Math.tan(toRad(flexionDeg)), 1, -Math.tan(toRad(valgusDeg))))

/** Valgus and flexion of a femoral distal cut, degrees. */
export function femoralAngles(
  femur: LegAxes,
  normal: Vec3,
): { readonly valgusDeg: number; readonly flexionDeg: number } {
  const [a, p, l] = partsOf(femur, normal)
  return { valgusDeg: 0 - toDeg(Math.atan(l / p)), flexionDeg: 0 + toDeg(Math.atan(a / p)) }
}

/**
 * Femoral posterior cut, square to the distal one. External rotation is the angle of its trace in the plane across the
 * femoral axis to `condylarLine` (any direction along the posterior condylar line). The kept bone is anterior.
 */
export function femoralPosteriorNormal(
  femur: LegAxes,
  condylarLine: Vec3,
  distalNormal: Vec3,
  externalRotationDeg: number,
): Vec3 {
  const { forward, sideways } = acrossAxes(femur, condylarLine)
  const level = addScaled(forward, sideways, Math.tan(toRad(externalRotationDeg)))
  return unit(addScaled(level, femur.proximal, -dot(level, distalNormal) / dot(femur.proximal, distalNormal)))
}

/** External rotation of a posterior cut to the posterior condylar line, degrees. */
export function externalRotationOf(femur: LegAxes, condylarLine: Vec3, posteriorNormal: Vec3): number {
  const { forward, sideways } = acrossAxes(femur, condylarLine)
  return 0 + toDeg(Math.atan2(dot(posteriorNormal, sideways), dot(posteriorNormal, forward)))
}

/** Unit axes across the femur: along the condylar line towards lateral, and forward, square to it. */
function acrossAxes(femur: LegAxes, condylarLine: Vec3): { readonly forward: Vec3; readonly sideways: Vec3 } {
  const flat = unit(reject(condylarLine, femur.proximal))
  const sideways = dot(flat, femur.lateral) < 0 ? scale(flat, -1) : flat
  return { sideways, forward: unit(reject(reject(femur.anterior, femur.proximal), sideways)) }
}
