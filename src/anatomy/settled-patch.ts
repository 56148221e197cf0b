import { cross, length, type Vec3 } from '../geometry/vec.ts'
import { type HeightField, heightAt } from './height-field.ts'
import { deepestMember, type Members, weighedPlane } from './weighed-plane.ts'

/** A nearly flat patch of a joint surface, in the coordinates of its height field, mm. */
export interface BearingPatch {
  /** Area centroid dropped along Y on the surface. */
  readonly point: Vec3
  /** Unit normal of the fitted plane, its y positive. */
  readonly normal: Vec3
  readonly areaMm2: number
  readonly rmsMm: number
  /** RMS over the quadratic through the whole region the patch was sought in; absent where none was given. */
  readonly unevenMm?: number
  /** Where it counts by one half, closed, on the surface; absent where nothing bounds it. Looked for when asked: of many readings one is drawn. */
  readonly border?: () => readonly Vec3[]
  /** Its own plane came to lie on the flank of a hollow: the normal is a stand-in. */
  readonly onFlank?: boolean
  /** Deepest point of the patch below its plane's level, on the surface. */
  readonly deepest: Vec3
}

/**
 * The patch whose members follow from its own plane: the plane refitted by area until it stays, from the unit normal `start`.
 * `dropMm` is the neighbourhood that says how high the surface lies under the centroid; a member counts for the deepest point
 * when its share is `deepestShare` or more. Null when too few members are left.
 */
export function settledPatch(
  field: HeightField,
  start: Vec3,
  membersUnder: (normal: Vec3) => Members,
  look: { readonly dropMm: number; readonly mostRounds: number; readonly deepestShare: number },
): BearingPatch | null {
  let normal = start
  for (let round = 1; ; round++) {
    const members = membersUnder(normal)
    const patch = weighedPlane(field, members, normal)
    if (patch === null) return null
    const turned = length(cross(patch.normal, normal))
    normal = patch.normal
    if (turned >= still && round < look.mostRounds) continue
    const [x, y, z] = patch.centroid
    return {
      point: [x, heightAt(field, x, z, look.dropMm, sharesOf(field, members)) ?? y, z],
      normal,
      areaMm2: patch.area,
      rmsMm: patch.rms,
      deepest: deepestMember(field, members, normal, look.deepestShare) ?? patch.centroid,
    }
  }
}

/** A plane that turns less is at rest, radians. */
const still = 1e-9

/** The share of every node of a field: a wide look at the patch's height must not see rim and spines. */
function sharesOf({ height }: HeightField, { at, share, count }: Members): (node: number) => number {
  const shares = new Float64Array(height.length)
  for (let k = 0; k < count; k++) shares[at[k]!] = share[k]!
  return (node) => shares[node]!
}
