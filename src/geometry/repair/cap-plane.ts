import { boundaryLoops } from '../boundary.ts'
import { fillLoops } from '../cap.ts'
import { matchEdges } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import type { Plane } from '../plane.ts'
import { planeBasis } from '../plane-basis.ts'
import { dot } from '../vec.ts'
import { extended } from './fill-holes.ts'

/**
 * Closes all borders that lie within `toleranceMm` of the plane with one flat face, holes in it (a marrow canal) left
 * open. The plane's normal points out of the bone. Vertices are not moved.
 */
export function capPlane(mesh: Mesh, plane: Plane, toleranceMm: number): Mesh {
  const { positions: p, triangles } = mesh
  const { twin } = matchEdges(triangles, p.length / 3)
  const offset = dot(plane.normal, plane.point)
  const distance = (v: number) =>
    Math.abs(p[3 * v]! * plane.normal[0] + p[3 * v + 1]! * plane.normal[1] + p[3 * v + 2]! * plane.normal[2] - offset)
  const rings = boundaryLoops(mesh, twin)
    .filter((l) => l.vertices.length > 2 && l.vertices.every((v) => distance(v) <= toleranceMm))
    .map((l) => l.vertices.toReversed())
  if (rings.length === 0) return mesh
  const [e, f] = planeBasis(plane.normal)
  const along = (d: readonly [number, number, number]) => (v: number) =>
    (p[3 * v]! - plane.point[0]) * d[0] +
    (p[3 * v + 1]! - plane.point[1]) * d[1] +
    (p[3 * v + 2]! - plane.point[2]) * d[2]
  return extended(mesh, [], withThreeCorners(fillLoops(rings, along(e), along(f), onSeveral(rings))))
}

/** Without triangles that name a corner twice: their edges cancel, so the border stays as it is. */
export function withThreeCorners(triangles: readonly number[]): number[] {
  const kept: number[] = []
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!
    const b = triangles[t + 1]!
    const c = triangles[t + 2]!
    if (a !== b && b !== c && c !== a) kept.push(a, b, c)
  }
  return kept
}

/** Vertices that more than one ring passes. */
function onSeveral(rings: readonly (readonly number[])[]): Set<number> {
  const seen = new Set<number>()
  const several = new Set<number>()
  for (const ring of rings) {
    for (const v of ring) {
      if (seen.has(v)) several.add(v)
      seen.add(v)
    }
  }
  return several
}
