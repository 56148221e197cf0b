import type { Mesh } from '../geometry/mesh.ts'
import { anyPerpendicular, cross, dot, sub, type Vec3 } from '../geometry/vec.ts'
import { QuadraticFit, quadraticAt } from './quadratic.ts'

/** The surface about a point as a quadric over the plane across a direction; mm. */
export interface LocalSurface {
  /** Height of the quadric over the point. */
  readonly offMm: number
  /** Distance along the plane to the quadric's critical point; null where it is too flat to have one. */
  readonly fromExtremeMm: number | null
  /** How steeply the quadric leaves the plane at the point, mm per mm. */
  readonly slope: number
  /** The smaller curvature, 1/mm, unsigned. */
  readonly sharpnessPerMm: number
  /** Of the vertices over the quadric. */
  readonly rmsMm: number
  /** Mean edge of the triangles there. */
  readonly edgeMm: number
  readonly vertices: number
  readonly radiusMm: number
}

const radii = [6, 9, 13, 20, 30]
const fewestVertices = 16

/**
 * Fits a quadric to the vertices of a surface about a point, heights counted along the unit `outward` (same frame, mm): within 6 mm,
 * or as much farther as sixteen vertices need. Vertices of another sheet (farther off than the radius) are left out. Null where
 * even 30 mm hold too few.
 */
export function localSurface(mesh: Mesh, point: Vec3, outward: Vec3): LocalSurface | null {
  for (const radiusMm of radii) {
    const within = verticesNear(mesh, point, radiusMm)
    if (within.length < fewestVertices) continue
    return fitted(mesh, within, point, outward, radiusMm)
  }
  return null
}

function verticesNear({ positions: p }: Mesh, [x, y, z]: Vec3, reachMm: number): readonly number[] {
  const out: number[] = []
  const most = reachMm * reachMm
  for (let i = 0; i < p.length; i += 3) {
    const dx = p[i]! - x
    if (dx > reachMm || dx < -reachMm) continue
    const dy = p[i + 1]! - y
    const dz = p[i + 2]! - z
    if (dx * dx + dy * dy + dz * dz <= most) out.push(i / 3)
  }
  return out
}

function fitted(
  mesh: Mesh,
  within: readonly number[],
  point: Vec3,
  outward: Vec3,
  radiusMm: number,
): LocalSurface | null {
  const u = anyPerpendicular(outward)
  const v = cross(outward, u)
  const rows: (readonly [number, number, number])[] = []
  for (const vertex of within) {
    const i = 3 * vertex
    const d = sub([mesh.positions[i]!, mesh.positions[i + 1]!, mesh.positions[i + 2]!], point)
    rows.push([dot(d, u) / radiusMm, dot(d, v) / radiusMm, dot(d, outward)])
  }
  const fit = new QuadraticFit()
  for (const [a, b, h] of rows) fit.add(a, b, h, 1)
  const x = fit.solve()
  if (x === null) return null
  let sum = 0
  for (const [a, b, h] of rows) {
    const off = h - quadraticAt(x, a, b)
    sum += off * off
  }
  const [gu, gv] = [x[1]! / radiusMm, x[2]! / radiusMm]
  const [huu, huv, hvv] = [(2 * x[3]!) / radiusMm ** 2, x[4]! / radiusMm ** 2, (2 * x[5]!) / radiusMm ** 2]
  const mean = (huu + hvv) / 2
  const spread = Math.hypot((huu - hvv) / 2, huv)
  const sharpnessPerMm = Math.min(Math.abs(mean + spread), Math.abs(mean - spread))
  const determinant = huu * hvv - huv * huv
  const fromExtremeMm =
    sharpnessPerMm > 1e-4 ? Math.hypot((hvv * gu - huv * gv) / determinant, (huu * gv - huv * gu) / determinant) : null
  return {
    offMm: Math.abs(x[0]!),
    fromExtremeMm,
    slope: Math.hypot(gu, gv),
    sharpnessPerMm,
    rmsMm: Math.sqrt(sum / Math.max(1, rows.length - 6)),
    edgeMm: meanEdge(mesh, within),
    vertices: rows.length,
    radiusMm,
  }
}

function meanEdge({ positions: p, triangles }: Mesh, within: readonly number[]): number {
  const near = new Uint8Array(p.length / 3)
  for (const vertex of within) near[vertex] = 1
  let sum = 0
  let count = 0
  for (let t = 0; t < triangles.length; t += 3) {
    if (near[triangles[t]!] === 0) continue
    for (let k = 0; k < 3; k++) {
      const a = 3 * triangles[t + k]!
      const b = 3 * triangles[t + ((k + 1) % 3)]!
      sum += Math.sqrt((p[a]! - p[b]!) ** 2 + (p[a + 1]! - p[b + 1]!) ** 2 + (p[a + 2]! - p[b + 2]!) ** 2)
      count++
    }
  }
  return count > 0 ? sum / count : 0
}
