import { type Mesh, usedVertices } from './mesh.ts'
import { cross, type Vec3 } from './vec.ts'

export interface Box {
  readonly min: Vec3
  readonly max: Vec3
}

/**
 * Volume enclosed by a closed, outward-wound mesh, mm³: divergence theorem about the box centre, so that far
 * coordinates do not cancel (Mirtich, J Graphics Tools 1996;1(2):31). Inward winding gives the negative volume, no
 * triangles give 0; for an open mesh the number depends on the frame and means nothing.
 */
export function volume(mesh: Mesh): number {
  return firstMoments(mesh, boxCentre(mesh)).volumeMm3
}

/** `volume` and `centroid` of one mesh in one pass; `box` is its bounding box. */
export function volumeAndCentroid(
  mesh: Mesh,
  box: Box,
): { readonly volumeMm3: number; readonly centroid: Vec3 | null } {
  const solid = firstMoments(mesh, middle(box))
  return { volumeMm3: solid.volumeMm3, centroid: centreOf(mesh, solid, box) }
}

/** Surface area, mm²; 0 without triangles. */
export function area(mesh: Mesh): number {
  return surfaceMoments(mesh).areaMm2
}

/**
 * Centre of the enclosed solid (same frame as the mesh); of the surface when the enclosed volume vanishes or the
 * mesh is open enough to make it meaningless; null when there is no area either.
 * @param box the mesh's bounding box, if it is known already
 */
export function centroid(mesh: Mesh, box: Box = boundingBox(mesh)): Vec3 | null {
  return centreOf(mesh, firstMoments(mesh, middle(box)), box)
}

function centreOf(mesh: Mesh, solid: ReturnType<typeof firstMoments>, { min, max }: Box): Vec3 | null {
  const boxMm3 = (max[0] - min[0]) * (max[1] - min[1]) * (max[2] - min[2])
  if (Math.abs(solid.volumeMm3) > 1e-12 * boxMm3) {
    const k = 1 / solid.volumeMm3
    const c: Vec3 = [
      solid.origin[0] + solid.moment[0] * k,
      solid.origin[1] + solid.moment[1] * k,
      solid.origin[2] + solid.moment[2] * k,
    ]
    if (c.every((v, axis) => v >= min[axis]! && v <= max[axis]!)) return c
  }
  return surfaceMoments(mesh).centroid
}

/**
 * Smallest axis-aligned box around the vertices that triangles use; a mesh without triangles gives the origin, twice.
 */
export function boundingBox(mesh: Mesh): Box {
  const { positions: p, triangles } = mesh
  if (triangles.length === 0) return { min: [0, 0, 0], max: [0, 0, 0] }
  let x0 = Number.POSITIVE_INFINITY
  let y0 = Number.POSITIVE_INFINITY
  let z0 = Number.POSITIVE_INFINITY
  let x1 = Number.NEGATIVE_INFINITY
  let y1 = Number.NEGATIVE_INFINITY
  let z1 = Number.NEGATIVE_INFINITY
  const used = usedVertices(mesh)
  for (let v = 0; v < used.length; v++) {
    if (used[v] === 0) continue
    const x = p[3 * v]!
    const y = p[3 * v + 1]!
    const z = p[3 * v + 2]!
    if (x < x0) x0 = x
    if (x > x1) x1 = x
    if (y < y0) y0 = y
    if (y > y1) y1 = y
    if (z < z0) z0 = z
    if (z > z1) z1 = z
  }
  return { min: [x0, y0, z0], max: [x1, y1, z1] }
}

/** Unit outward normal of triangle `t`; the zero vector for a triangle without area. */
export function triangleNormal(mesh: Mesh, t: number): Vec3 {
  const [a, b, c] = corners(mesh, t)
  const n = cross([b[0] - a[0], b[1] - a[1], b[2] - a[2]], [c[0] - a[0], c[1] - a[1], c[2] - a[2]])
  const l = Math.hypot(n[0], n[1], n[2])
  return l > 0 ? [n[0] / l, n[1] / l, n[2] / l] : [0, 0, 0]
}

/** The three corners of triangle `t`. */
export function corners(mesh: Mesh, t: number): readonly [Vec3, Vec3, Vec3] {
  return [
    vertex(mesh, mesh.triangles[3 * t]!),
    vertex(mesh, mesh.triangles[3 * t + 1]!),
    vertex(mesh, mesh.triangles[3 * t + 2]!),
  ]
}

/** Vertex `i` as a point. */
export const vertex = (mesh: Mesh, i: number): Vec3 => [
  mesh.positions[3 * i]!,
  mesh.positions[3 * i + 1]!,
  mesh.positions[3 * i + 2]!,
]

/** Volume, ∫x dV about `origin` (the box centre), and the second moments ∫xx, ∫yy, ∫zz, ∫xy, ∫yz, ∫zx about it. */
export interface SolidMoments {
  readonly origin: Vec3
  readonly volumeMm3: number
  readonly moment: Vec3
  readonly second: readonly [number, number, number, number, number, number]
}

/**
 * Volume, first and second moments of the enclosed solid about `origin` (default: the box centre), from signed
 * tetrahedra (Mirtich, J Graphics Tools 1996;1(2):31). All zero without triangles.
 */
export function solidMoments(mesh: Mesh, origin?: Vec3): SolidMoments {
  const o = origin ?? boxCentre(mesh)
  const m = new Float64Array(10)
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const [a, b, c] = corners(mesh, t).map((v) => [v[0] - o[0], v[1] - o[1], v[2] - o[2]] as Vec3) as [Vec3, Vec3, Vec3]
    const n = cross(b, c)
    const v = (a[0] * n[0] + a[1] * n[1] + a[2] * n[2]) / 6
    const sum: Vec3 = [a[0] + b[0] + c[0], a[1] + b[1] + c[1], a[2] + b[2] + c[2]]
    m[0]! += v
    for (let i = 0; i < 3; i++) {
      m[1 + i]! += (v * sum[i]!) / 4
      const j = (i + 1) % 3
      m[4 + i]! += (v * (sum[i]! * sum[i]! + a[i]! * a[i]! + b[i]! * b[i]! + c[i]! * c[i]!)) / 20
      m[7 + i]! += (v * (sum[i]! * sum[j]! + a[i]! * a[j]! + b[i]! * b[j]! + c[i]! * c[j]!)) / 20
    }
  }
  return {
    origin: o,
    volumeMm3: m[0]!,
    moment: [m[1]!, m[2]!, m[3]!],
    second: [m[4]!, m[5]!, m[6]!, m[7]!, m[8]!, m[9]!],
  }
}

const middle = ({ min, max }: Box): Vec3 => [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2]
const boxCentre = (mesh: Mesh): Vec3 => middle(boundingBox(mesh))

function firstMoments(mesh: Mesh, origin: Vec3): { origin: Vec3; volumeMm3: number; moment: Vec3 } {
  const { positions: p, triangles } = mesh
  const [ox, oy, oz] = origin
  let v6 = 0
  let mx = 0
  let my = 0
  let mz = 0
  for (let k = 0; k < triangles.length; k += 3) {
    const i = 3 * triangles[k]!
    const j = 3 * triangles[k + 1]!
    const l = 3 * triangles[k + 2]!
    const ax = p[i]! - ox
    const ay = p[i + 1]! - oy
    const az = p[i + 2]! - oz
    const bx = p[j]! - ox
    const by = p[j + 1]! - oy
    const bz = p[j + 2]! - oz
    const cx = p[l]! - ox
    const cy = p[l + 1]! - oy
    const cz = p[l + 2]! - oz
    const d = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    v6 += d
    mx += d * (ax + bx + cx)
    my += d * (ay + by + cy)
    mz += d * (az + bz + cz)
  }
  return { origin, volumeMm3: v6 / 6, moment: [mx / 24, my / 24, mz / 24] }
}

function surfaceMoments(mesh: Mesh): { areaMm2: number; centroid: Vec3 | null } {
  const { positions: p, triangles } = mesh
  let areaMm2 = 0
  let mx = 0
  let my = 0
  let mz = 0
  for (let k = 0; k < triangles.length; k += 3) {
    const i = 3 * triangles[k]!
    const j = 3 * triangles[k + 1]!
    const l = 3 * triangles[k + 2]!
    const ux = p[j]! - p[i]!
    const uy = p[j + 1]! - p[i + 1]!
    const uz = p[j + 2]! - p[i + 2]!
    const vx = p[l]! - p[i]!
    const vy = p[l + 1]! - p[i + 1]!
    const vz = p[l + 2]! - p[i + 2]!
    const x = uy * vz - uz * vy
    const y = uz * vx - ux * vz
    const z = ux * vy - uy * vx
    const a = Math.sqrt(x * x + y * y + z * z) / 2
    areaMm2 += a
    mx += a * (p[i]! + p[j]! + p[l]!)
    my += a * (p[i + 1]! + p[j + 1]! + p[l + 1]!)
    mz += a * (p[i + 2]! + p[j + 2]! + p[l + 2]!)
  }
  const k = 1 / (3 * areaMm2)
  return { areaMm2, centroid: areaMm2 > 0 ? [mx * k, my * k, mz * k] : null }
}
