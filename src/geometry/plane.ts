import { addScaled, dot, sub, type Vec3 } from './vec.ts'

/** A plane with unit normal. A cut's normal points into the kept bone; a cut's plane is the surface of the kept bone. */
export interface Plane {
  readonly point: Vec3
  readonly normal: Vec3
}

/** Signed distance, mm, positive on the side the normal points to. */
export const signedDistance = (plane: Plane, p: Vec3): number => dot(plane.normal, sub(p, plane.point))

export const flipped = (plane: Plane): Plane => ({
  point: plane.point,
  normal: [-plane.normal[0], -plane.normal[1], -plane.normal[2]],
})

/** The plane moved by `mm` along its normal. */
export const offsetPlane = (plane: Plane, mm: number): Plane => ({
  point: addScaled(plane.point, plane.normal, mm),
  normal: plane.normal,
})
