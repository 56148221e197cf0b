import { MeshoptSimplifier } from 'meshoptimizer/simplifier'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { seededNormal, seededRandom } from '../../src/geometry/random.ts'

await MeshoptSimplifier.ready

/** The surface in about `triangles` triangles by edge collapse with quadrics (meshoptimizer, a general-purpose library). */
export function inTriangles(mesh: Mesh, triangles: number): Mesh {
  const [kept] = MeshoptSimplifier.simplify(
    mesh.triangles,
    Float32Array.from(mesh.positions),
    3,
    3 * Math.floor(triangles),
    1,
    [],
  )
  return withoutStrays({ positions: mesh.positions, triangles: kept })
}

/** Every triangle cut into four at its edges' midpoints; the surface stays where it is. */
export function subdivided({ positions, triangles }: Mesh): Mesh {
  const points = [...positions]
  const middles = new Map<string, number>()
  const middle = (a: number, b: number) => {
    const key = a < b ? `${a} ${b}` : `${b} ${a}`
    const known = middles.get(key)
    if (known !== undefined) return known
    const made = points.length / 3
    for (let k = 0; k < 3; k++) points.push((positions[3 * a + k]! + positions[3 * b + k]!) / 2)
    middles.set(key, made)
    return made
  }
  const out = new Uint32Array(4 * triangles.length)
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!]
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)]
    out.set([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca], 4 * t)
  }
  return { positions: Float64Array.from(points), triangles: out }
}

/** Every coordinate of every vertex moved by a normal deviate of its own, mm. */
export function rattled({ positions, triangles }: Mesh, sigmaMm: number, seed: number): Mesh {
  const normal = seededNormal(seededRandom(seed))
  return { positions: positions.map((v) => v + sigmaMm * normal()), triangles }
}

function withoutStrays({ positions, triangles }: Mesh): Mesh {
  const renamed = new Map<number, number>()
  const points: number[] = []
  const corners = triangles.map((v) => {
    const known = renamed.get(v)
    if (known !== undefined) return known
    const made = points.length / 3
    renamed.set(v, made)
    points.push(positions[3 * v]!, positions[3 * v + 1]!, positions[3 * v + 2]!)
    return made
  })
  return { positions: Float64Array.from(points), triangles: corners }
}
