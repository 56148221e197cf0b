import { ok, type Result } from '../failure.ts'
import { type BoneMesh, makeBone } from './bone.ts'
import { volume } from './measure.ts'
import type { Mesh } from './mesh.ts'
import { openBorders } from './open-volume.ts'
import type { Plane } from './plane.ts'
import { isMadeOfSheets } from './sheets.ts'
import { buildTree } from './tree.ts'
import { cross, dot, length, sub, type Vec3 } from './vec.ts'
import { volumeInside } from './volume-inside.ts'

/**
 * A bone of a welded surface (mm) that may have holes. A closed surface gives what `makeBone` gives. An open one is
 * closed by stand-in patches (`mesh`, `tree` and `volumeMm3` are those of the patched surface) and knows in `missing`
 * how far its volumes may err; where it has no inside even so, or is made of sheets rather than of a body with holes, it stays open and `volumeMm3` is null. No triangles, or
 * none with area: `mesh/no-faces`.
 */
export function makeBoundedBone(mesh: Mesh): Result<BoneMesh> {
  const own = makeBone(mesh)
  if (!own.ok || own.value.closed) return own
  const borders = openBorders(mesh)
  if (!borders.ok) return own
  const { capped, patches, hulls } = borders.value
  if (isMadeOfSheets(mesh, patches)) return own
  const patched = makeBone(capped)
  if (!patched.ok) return own
  return ok({
    ...patched.value,
    closed: false,
    volumeMm3: volume(patched.value.mesh),
    missing: { hulls: hulls.map((hull) => buildTree(hull)) },
  })
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

function isInHull({ positions: p, triangles }: Mesh, point: Vec3): boolean {
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
