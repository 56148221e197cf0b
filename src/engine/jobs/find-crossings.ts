import { ok, type Result } from '../../failure.ts'
import { selfCrossings } from '../../geometry/overlaps.ts'
import { buildTree } from '../../geometry/tree.ts'
import type { Vec3 } from '../../geometry/vec.ts'
import type { CrossingPlaces, JobInput } from '../contract.ts'

/** Where a surface runs through itself: outlines of the triangles that pass through each other. */
export function findCrossings({ mesh }: JobInput<'find-crossings'>): Result<CrossingPlaces> {
  const tree = buildTree(mesh)
  const { pairs, more } = selfCrossings(tree)
  const { positions: p, triangles } = tree.mesh
  const at = (corner: number): Vec3 => {
    const v = 3 * triangles[corner]!
    return [p[v]!, p[v + 1]!, p[v + 2]!]
  }
  const concerned = [...new Set(pairs.flat())]
  return ok({
    pairs: pairs.length,
    more,
    lines: concerned.map((t) => [0, 1, 2, 0].map((k) => at(3 * t + k))),
    points: pairs.map(([t]) => at(3 * t)),
  })
}
