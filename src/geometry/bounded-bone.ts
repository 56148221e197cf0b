import { ok, type Result } from '../failure.ts'
import { type BoneMesh, makeBone } from './bone.ts'
import { convexHull } from './convex-hull.ts'
import { matchEdges } from './edge-match.ts'
import { volume } from './measure.ts'
import type { Mesh } from './mesh.ts'
import { openBorders } from './open-volume.ts'
import type { Plane } from './plane.ts'
import { dropDuplicates } from './repair/drop-duplicates.ts'
import { fins, sheetsOf } from './repair/drop-fins.ts'
import { keepTriangles } from './repair/keep-triangles.ts'
import { isMadeOfSheets } from './sheets.ts'
import { touchingApart } from './touching-apart.ts'
import { buildTree } from './tree.ts'
import { cross, dot, length, sub, type Vec3 } from './vec.ts'
import { volumeInside } from './volume-inside.ts'

/**
 * A bone of a welded surface (mm) that may have holes. A closed surface gives what `makeBone` gives. An open one is
 * closed by stand-in patches (`mesh`, `tree` and `volumeMm3` are those of the patched surface, without triangles given
 * twice and fins, which hold nothing) and knows in `missing` how far its volumes may err; where it has no inside even so,
 * or is made of sheets rather than of a body with holes, it stays open and `volumeMm3` is null. No triangles, or none
 * with area: `mesh/no-faces`.
 */
export function makeBoundedBone(mesh: Mesh): Result<BoneMesh> {
  const own = makeBone(mesh)
  if (!own.ok || own.value.closed) return own
  const { body, left } = withoutFins(mesh)
  const borders = openBorders(body)
  if (!borders.ok) return own
  const { capped, patches, hulls } = borders.value
  if (isMadeOfSheets(body, patches)) return own
  const patched = makeBone(touchingApart(capped))
  if (!patched.ok) return own
  return ok({
    ...patched.value,
    closed: false,
    volumeMm3: volume(patched.value.mesh),
    missing: { hulls: [...hulls, ...left].map((hull) => buildTree(hull)) },
  })
}

/** Fins smaller than this share of the largest sheet are left out of a body. */
const FIN_SHARE = 0.02

/**
 * Where an edge has more than two triangles: the mesh without second copies of triangles and without fins, and the convex
 * hulls of the fins that were left out, for the surface might have been theirs. Else the mesh itself.
 */
function withoutFins(mesh: Mesh): { readonly body: Mesh; readonly left: readonly Mesh[] } {
  const matched = matchEdges(mesh.triangles, mesh.positions.length / 3)
  if (matched.nonManifoldEdges === 0) return { body: mesh, left: [] }
  const once = dropDuplicates(mesh)
  const isFin = fins(once, FIN_SHARE)
  const { sheetOf } = sheetsOf(matchEdges(once.triangles, once.positions.length / 3).twin)
  const corners = new Map<number, Vec3[]>()
  for (let t = 0; t < isFin.length; t++) {
    if (isFin[t] === 0) continue
    const of = corners.get(sheetOf[t]!) ?? []
    corners.set(sheetOf[t]!, of)
    for (let k = 3 * t; k < 3 * t + 3; k++) {
      const v = 3 * once.triangles[k]!
      of.push([once.positions[v]!, once.positions[v + 1]!, once.positions[v + 2]!])
    }
  }
  return {
    body: keepTriangles(once, (t) => isFin[t] === 0),
    left: [...corners.values()].flatMap((points) => convexHull(points) ?? []),
  }
}

/** Whether a point (mm, the bone's frame) lies where surface is missing: within a hull of its borders, on it included. */
export function isOnMissing(bone: BoneMesh, point: Vec3): boolean {
  return bone.missing?.hulls.some((hull) => isInHull(hull.mesh, point)) ?? false
}

/**
 * How far the bone's volume on the positive side of every plane (mm, the bone's frame; none: the whole) may be from the
 * truth, mm³: what the hulls of its missing patches hold there. 0 for a closed bone; null for one whose volumes are
 * withheld.
 */
export function boundInside(bone: BoneMesh, planes: readonly Plane[]): number | null {
  if (bone.missing === null) return bone.closed ? 0 : null
  return bone.missing.hulls.reduce((sum, hull) => sum + Math.max(0, volumeInside(hull, planes)), 0)
}

/** Patches lie on their hull's faces as often as inside it. */
const ON_HULL_MM = 0.01

/** Whether a point (mm) lies within a convex mesh wound outward, on it included. */
export function isInHull({ positions: p, triangles }: Mesh, point: Vec3): boolean {
  const at = (corner: number): Vec3 => {
    const v = 3 * triangles[corner]!
    return [p[v]!, p[v + 1]!, p[v + 2]!]
  }
  for (let t = 0; t < triangles.length; t += 3) {
    const a = at(t)
    const normal = cross(sub(at(t + 1), a), sub(at(t + 2), a))
    if (dot(normal, sub(point, a)) > ON_HULL_MM * length(normal)) return false
  }
  return true
}
