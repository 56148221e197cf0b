import { add, cross, dot, unit, type Vec3 } from './vec.ts'

/** Rotation matrix, row-major, nine numbers. */
export type Mat3 = readonly [number, number, number, number, number, number, number, number, number]

/** A rigid map x ↦ rotation·x + translation. A variable is named `toFromFrom`: `tibiaFromPatient` maps patient to tibia. */
export interface Rigid {
  readonly rotation: Mat3
  readonly translation: Vec3
}

export const identityRigid: Rigid = { rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1], translation: [0, 0, 0] }

export const rotate = (m: Mat3, v: Vec3): Vec3 => [
  m[0] * v[0] + m[1] * v[1] + m[2] * v[2],
  m[3] * v[0] + m[4] * v[1] + m[5] * v[2],
  m[6] * v[0] + m[7] * v[1] + m[8] * v[2],
]
export const transpose = (m: Mat3): Mat3 => [m[0], m[3], m[6], m[1], m[4], m[7], m[2], m[5], m[8]]

export function multiply(a: Mat3, b: Mat3): Mat3 {
  const at = (r: number, c: number) => a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!
  return [at(0, 0), at(0, 1), at(0, 2), at(1, 0), at(1, 1), at(1, 2), at(2, 0), at(2, 1), at(2, 2)]
}

/** Map a point. */
export const mapPoint = (f: Rigid, p: Vec3): Vec3 => add(rotate(f.rotation, p), f.translation)
/** Map a direction (no translation). */
export const mapVector = (f: Rigid, v: Vec3): Vec3 => rotate(f.rotation, v)

export function inverse(f: Rigid): Rigid {
  const rotation = transpose(f.rotation)
  const t = rotate(rotation, f.translation)
  return { rotation, translation: [-t[0], -t[1], -t[2]] }
}

/** compose(b, a) applies a first, then b. */
export const compose = (b: Rigid, a: Rigid): Rigid => ({
  rotation: multiply(b.rotation, a.rotation),
  translation: mapPoint(b, a.translation),
})

/** Rotation by `radians` about the unit `axis` (Rodrigues). */
export function rotationAbout(axis: Vec3, radians: number): Mat3 {
  const [x, y, z] = unit(axis)
  const c = Math.cos(radians)
  const s = Math.sin(radians)
  const k = 1 - c
  return [
    c + x * x * k,
    x * y * k - z * s,
    x * z * k + y * s,
    y * x * k + z * s,
    c + y * y * k,
    y * z * k - x * s,
    z * x * k - y * s,
    z * y * k + x * s,
    c + z * z * k,
  ]
}

/** A right-handed frame: unit axes and origin, all expressed in the frame that contains it. */
export interface Frame {
  readonly origin: Vec3
  readonly x: Vec3
  readonly y: Vec3
  readonly z: Vec3
}

/** The map from the containing frame into `f`'s own coordinates. */
export function intoFrame(f: Frame): Rigid {
  return {
    rotation: [f.x[0], f.x[1], f.x[2], f.y[0], f.y[1], f.y[2], f.z[0], f.z[1], f.z[2]],
    translation: [-dot(f.x, f.origin), -dot(f.y, f.origin), -dot(f.z, f.origin)],
  }
}

/** The map from `f`'s own coordinates out to the containing frame. */
export const outOfFrame = (f: Frame): Rigid => inverse(intoFrame(f))

/** Frame with y exactly along `long`, x and z perpendicular, z as near `right` as that allows. */
export function frameFromLongAndRight(origin: Vec3, long: Vec3, right: Vec3): Frame {
  const y = unit(long)
  const x = unit(cross(y, right))
  return { origin, x, y, z: cross(x, y) }
}

/** Frame with y exactly along `long`, x and z perpendicular, x as near `anterior` as that allows. */
export function frameFromLongAndAnterior(origin: Vec3, long: Vec3, anterior: Vec3): Frame {
  const y = unit(long)
  const z = unit(cross(anterior, y))
  return { origin, x: cross(y, z), y, z }
}
