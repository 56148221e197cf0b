import type { Plane } from '../../src/geometry/plane.ts'
import type { MeshTree } from '../../src/geometry/tree.ts'
import { dot } from '../../src/geometry/vec.ts'

/** Corners of the triangles that a plane crosses, found by trying all. */
export function crossedTriangles({ mesh }: MeshTree, plane: Plane): Uint32Array {
  const { positions: p, triangles } = mesh
  const offset = dot(plane.normal, plane.point)
  const [nx, ny, nz] = plane.normal
  const above = (vertex: number): boolean =>
    nx * p[3 * vertex]! + ny * p[3 * vertex + 1]! + nz * p[3 * vertex + 2]! > offset
  const found: number[] = []
  for (let k = 0; k < triangles.length; k += 3) {
    const [a, b, c] = [triangles[k]!, triangles[k + 1]!, triangles[k + 2]!]
    const sides = (above(a) ? 1 : 0) + (above(b) ? 1 : 0) + (above(c) ? 1 : 0)
    if (sides === 1 || sides === 2) found.push(a, b, c)
  }
  return Uint32Array.from(found)
}

/**
 * The floor no method can go below: flux and facing area of the removed corners of triangles that someone else has already
 * found, everything else being taken as known.
 */
export function clipCrossedOnly(p: Float64Array, triangles: Uint32Array, plane: Plane): number {
  const [nx, ny, nz] = plane.normal
  const offset = dot(plane.normal, plane.point)
  let flux = 0
  let facing = 0
  for (let k = 0; k < triangles.length; k += 3) {
    const i = 3 * triangles[k]!
    const j = 3 * triangles[k + 1]!
    const l = 3 * triangles[k + 2]!
    const s0 = nx * p[i]! + ny * p[i + 1]! + nz * p[i + 2]! - offset
    const s1 = nx * p[j]! + ny * p[j + 1]! + nz * p[j + 2]! - offset
    const s2 = nx * p[l]! + ny * p[l + 1]! + nz * p[l + 2]! - offset
    const ax = p[j]! - p[i]!
    const ay = p[j + 1]! - p[i + 1]!
    const az = p[j + 2]! - p[i + 2]!
    const bx = p[l]! - p[i]!
    const by = p[l + 1]! - p[i + 1]!
    const bz = p[l + 2]! - p[i + 2]!
    const w = (nx * (ay * bz - az * by) + ny * (az * bx - ax * bz) + nz * (ax * by - ay * bx)) / 2
    const in0 = s0 <= 0
    const in1 = s1 <= 0
    const in2 = s2 <= 0
    const lone = in1 === in2 ? s0 : in0 === in2 ? s1 : s2
    const share =
      in1 === in2
        ? (s0 / (s0 - s1)) * (s0 / (s0 - s2))
        : in0 === in2
          ? (s1 / (s1 - s0)) * (s1 / (s1 - s2))
          : (s2 / (s2 - s0)) * (s2 / (s2 - s1))
    flux += lone <= 0 ? w * share * lone : w * (s0 + s1 + s2 - share * lone)
    facing += lone <= 0 ? w * share : w * (1 - share)
  }
  return flux / 3 - facing
}
