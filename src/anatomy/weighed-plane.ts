import { eigenSymmetric3 } from '../geometry/fit.ts'
import { dot, type Vec3 } from '../geometry/vec.ts'
import type { HeightField } from './height-field.ts'

/** Nodes of a field that belong to a patch, and the share by which each counts. */
export interface Members {
  readonly at: Int32Array
  readonly share: Float64Array
  readonly count: number
}

/** Plane, centroid and area of weighed nodes. */
export interface WeighedPlane {
  readonly centroid: Vec3
  readonly normal: Vec3
  readonly area: number
  readonly rms: number
}

/**
 * Area, centroid and least-squares plane of the members; weights are the surface's areas times the shares. The normal points
 * as `towards` does. Null for fewer than a dozen nodes, or nodes along a line.
 */
export function weighedPlane(field: HeightField, { at, share, count }: Members, towards: Vec3): WeighedPlane | null {
  if (count < 12) return null
  const { nx, lowX, lowZ, stepMm, height, slopeX, slopeZ } = field
  const h0 = height[at[0]!]!
  let area = 0
  let mx = 0
  let my = 0
  let mz = 0
  let xx = 0
  let xy = 0
  let xz = 0
  let yy = 0
  let yz = 0
  let zz = 0
  for (let k = 0; k < count; k++) {
    const n = at[k]!
    const a = slopeX[n]!
    const b = slopeZ[n]!
    const w = share[k]! * Math.sqrt(1 + a * a + b * b)
    const x = lowX + (n % nx) * stepMm
    const y = height[n]! - h0
    const z = lowZ + Math.floor(n / nx) * stepMm
    area += w
    mx += w * x
    my += w * y
    mz += w * z
    xx += w * x * x
    xy += w * x * y
    xz += w * x * z
    yy += w * y * y
    yz += w * y * z
    zz += w * z * z
  }
  if (!(area > 0)) return null
  const cx = mx / area
  const cy = my / area
  const cz = mz / area
  const { values, vectors } = eigenSymmetric3({
    xx: xx / area - cx * cx,
    xy: xy / area - cx * cy,
    xz: xz / area - cx * cz,
    yy: yy / area - cy * cy,
    yz: yz / area - cy * cz,
    zz: zz / area - cz * cz,
  })
  if (!(values[1] > 1e-9 * values[2])) return null
  const v = vectors[0]
  return {
    centroid: [cx, cy + h0, cz],
    normal: dot(v, towards) >= 0 ? v : [-v[0], -v[1], -v[2]],
    area: area * stepMm * stepMm,
    rms: Math.sqrt(Math.max(values[0], 0)),
  }
}

/** The member lowest along the normal among those that count at least by `leastShare`, limb coordinates, mm. */
export function deepestMember(
  field: HeightField,
  { at, share, count }: Members,
  normal: Vec3,
  leastShare: number,
): Vec3 | null {
  let best: Vec3 | null = null
  let level = Number.POSITIVE_INFINITY
  for (let k = 0; k < count; k++) {
    if (share[k]! < leastShare) continue
    const n = at[k]!
    const p: Vec3 = [
      field.lowX + (n % field.nx) * field.stepMm,
      field.height[n]!,
      field.lowZ + Math.floor(n / field.nx) * field.stepMm,
    ]
    if (dot(p, normal) >= level) continue
    level = dot(p, normal)
    best = p
  }
  return best
}
