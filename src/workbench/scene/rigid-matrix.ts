import { Matrix4, Vector3 } from 'three'
import { mapPoint, type Rigid } from '../../geometry/rigid.ts'
import type { Vec3 } from '../../geometry/vec.ts'

/** A rigid map as three's matrix; `origin` is added to the coordinates first. */
export function matrixOf(rigid: Rigid, origin: Vec3 = [0, 0, 0]): Matrix4 {
  const r = rigid.rotation
  const [x, y, z] = mapPoint(rigid, origin)
  return new Matrix4().set(r[0], r[1], r[2], x, r[3], r[4], r[5], y, r[6], r[7], r[8], z, 0, 0, 0, 1)
}

export const vector = (v: Vec3): Vector3 => new Vector3(v[0], v[1], v[2])
export const plain = (v: Vector3): Vec3 => [v.x, v.y, v.z]
