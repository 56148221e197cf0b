import { isClosed } from '../geometry/closed.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { weld } from '../geometry/weld.ts'

/**
 * Puts two closed parts that one plane had parted back into one mesh: where their caps are the same outline the caps go and
 * the outlines are welded; where a later cut has changed one cap, both parts stay closed solids that touch.
 */
export function rejoin(a: Mesh, b: Mesh, plane: Plane): Mesh {
  const open = together(withoutFacesIn(a, plane), withoutFacesIn(b, plane))
  return isClosed(open) ? open : together(a, b)
}

function withoutFacesIn(mesh: Mesh, plane: Plane): Mesh {
  const { positions: p, triangles } = mesh
  const inPlane = (v: number) => Math.abs(signedDistance(plane, [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!])) < 1e-7
  const kept: number[] = []
  for (let k = 0; k < triangles.length; k += 3) {
    const [i, j, l] = [triangles[k]!, triangles[k + 1]!, triangles[k + 2]!]
    if (!(inPlane(i) && inPlane(j) && inPlane(l))) kept.push(i, j, l)
  }
  return { positions: p, triangles: Uint32Array.from(kept) }
}

function together(a: Mesh, b: Mesh): Mesh {
  const positions = new Float64Array(a.positions.length + b.positions.length)
  positions.set(a.positions)
  positions.set(b.positions, a.positions.length)
  const triangles = new Uint32Array(a.triangles.length + b.triangles.length)
  triangles.set(a.triangles)
  triangles.set(
    b.triangles.map((v) => v + a.positions.length / 3),
    a.triangles.length,
  )
  return weld({ positions, triangles }).mesh
}
