import { meanEdgeMm } from '../geometry/mean-edge.ts'
import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'

/** Bounds of an end of a bone in limb coordinates, mm. */
export interface Extents {
  readonly x: readonly [number, number]
  readonly y: readonly [number, number]
  readonly z: readonly [number, number]
  readonly lowest: Vec3
  /** Mean edge of the triangles there. */
  readonly edgeMm: number
}

/** Bounds of the vertices above a level (mm, limb coordinates); null where there are none. */
export function extentsAbove(part: Mesh, above: number): Extents | null {
  const p = part.positions
  const x: [number, number] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const y: [number, number] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const z: [number, number] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  let lowest: Vec3 = [0, 0, 0]
  for (let i = 0; i < p.length; i += 3) {
    if (p[i + 1]! < above) continue
    if (p[i + 1]! < y[0]) lowest = [p[i]!, p[i + 1]!, p[i + 2]!]
    widen(x, p[i]!)
    widen(y, p[i + 1]!)
    widen(z, p[i + 2]!)
  }
  return x[0] <= x[1]
    ? { x, y, z, lowest, edgeMm: meanEdgeMm(part, (t) => p[3 * part.triangles[t]! + 1]! >= above) }
    : null
}

function widen(range: [number, number], value: number): void {
  if (value < range[0]) range[0] = value
  if (value > range[1]) range[1] = value
}
