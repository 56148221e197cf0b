import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { firstHit } from '../geometry/query.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { checkedTable, type ProfileTable } from './own-profiles.ts'

/** Distance of the points of a table taken from a mesh, mm. */
const stepMm = 0.5
const gridMm = 1

/**
 * The two profiles of a mesh of one condyle or one dish, in tray axes: x lateral, y anterior, z up, mm. The bearing
 * side is below for a condyle and above for a dish; both sections pass through its lowest point (the middle of all
 * that are as low), found on a 1 mm raster and refined to 0.5 mm. A mesh that no ray meets, or whose section does not
 * reach to both sides, is a failure.
 */
export function profilesFromMesh(
  { tree, box }: BoneMesh,
  part: 'condyle' | 'dish',
): Result<{ readonly coronal: ProfileTable; readonly sagittal: ProfileTable }> {
  const up = part === 'condyle' ? 1 : -1
  const from = up > 0 ? box.min[2] - 1 : box.max[2] + 1
  const height = (x: number, y: number): number | null => {
    const origin: Vec3 = [x, y, from]
    return firstHit(tree, origin, [0, 0, up])?.point[2] ?? null
  }
  const middle = lowestPlace(box, height)
  if (!middle) return fail('case/syntax', 'The mesh has no surface that faces the bearing.', { place: part })
  const [x0, y0] = middle
  const coronal = checkedTable(
    along(box.min[0] - x0, box.max[0] - x0, (at) => height(x0 + at, y0)),
    `${part}, across`,
  )
  if (!coronal.ok) return coronal
  const sagittal = checkedTable(
    along(box.min[1] - y0, box.max[1] - y0, (at) => height(x0, y0 + at)),
    `${part}, along`,
  )
  return sagittal.ok ? ok({ coronal: coronal.value, sagittal: sagittal.value }) : sagittal
}

function lowestPlace(
  { min, max }: BoneMesh['box'],
  height: (x: number, y: number) => number | null,
): readonly [number, number] | null {
  const search = (low: readonly [number, number], high: readonly [number, number], by: number) => {
    let [least, sx, sy, count] = [Number.POSITIVE_INFINITY, 0, 0, 0]
    for (let x = low[0]; x <= high[0]; x += by)
      for (let y = low[1]; y <= high[1]; y += by) {
        const z = height(x, y)
        if (z === null || z > least + flatMm) continue
        if (z < least - flatMm) [least, sx, sy, count] = [z, 0, 0, 0]
        sx += x
        sy += y
        count++
      }
    return count === 0 ? null : ([sx / count, sy / count] as const)
  }
  // Half a step in from the box, so that no ray runs along its walls.
  const coarse = search([min[0] + gridMm / 2, min[1] + gridMm / 2], [max[0], max[1]], gridMm)
  if (!coarse) return null
  const [x, y] = coarse
  return search([x - gridMm, y - gridMm], [x + gridMm, y + gridMm], gridMm / 8) ?? coarse
}

/** Heights this close count as equally low, mm. */
const flatMm = 1e-6

/** Every half millimetre from 0 outward both ways until the surface ends. */
function along(low: number, high: number, height: (at: number) => number | null): ProfileTable {
  const walk = (sign: 1 | -1, end: number) => {
    const points: [number, number][] = []
    for (let k = 1; k * stepMm <= end; k++) {
      const z = height(sign * k * stepMm)
      if (z === null) break
      points.push([sign * k * stepMm, z])
    }
    return points
  }
  const middle = height(0)
  if (middle === null) return []
  return [...walk(-1, -low).reverse(), [0, middle], ...walk(1, high)]
}
