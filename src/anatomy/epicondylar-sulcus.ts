import type { Mesh } from '../geometry/mesh.ts'
import type { Vec3 } from '../geometry/vec.ts'
import { type HeightField, heightField } from './height-field.ts'
import { type LimbFrame, meshIntoLimb, outOfLimb } from './limb.ts'
import type { EpicondylarSulcus } from './terms.ts'

/** Where it is looked for about the prominence, and how deep a groove must be to count, mm. Common practice, no source. */
const look = {
  aboveMm: 4,
  belowMm: 11,
  asideMm: 7,
  mostInMm: 3.5,
  shoulderMm: 9,
  stepMm: 0.5,
  smoothMm: 1,
  leastDepthMm: 0.4,
  behindMm: 40,
} as const
/** Rows are the mean of this stretch of heights to either side, mm. */
const rowHalfMm = 1.5

/**
 * The sulcus of the medial epicondyle: seen along the medio-lateral axis, in axial rows from 11 mm below the prominence to 4 mm above
 * it, the bottom that lies deepest between a shoulder in front and one behind, each within 9 mm; its depth is that under the lower
 * shoulder; it lies at most 3.5 mm farther in than the prominence. `part` in the patient frame, `prominence` in limb coordinates. Null where no row is 0.4 mm deep: there the prominence
 * is one dome.
 */
export function medialSulcus(part: Mesh, limb: LimbFrame, prominence: Vec3): EpicondylarSulcus | null {
  const seen = asSeenFromMedially(meshIntoLimb(part, limb))
  const [x, up, y] = [prominence[0], -prominence[2], prominence[1]]
  const wide = look.asideMm + look.shoulderMm
  const field = heightField(
    seen,
    'above',
    {
      x: [x - wide, x + wide],
      z: [y - look.belowMm - rowHalfMm, y + look.aboveMm + rowHalfMm],
      y: [up - look.behindMm, up + 5],
    },
    look.stepMm,
    look.smoothMm,
  )
  if (field === null) return null
  let best: { readonly at: Vec3; readonly depthMm: number } | null = null
  for (let level = y - look.belowMm; level <= y + look.aboveMm; level += look.stepMm) {
    const bottom = bottomOfRow(field, level, [x, up])
    if (bottom && (best === null || bottom.depthMm > best.depthMm)) best = bottom
  }
  if (best === null || best.depthMm < look.leastDepthMm) return null
  const [ahead, out, high] = best.at
  return { mm: outOfLimb(limb, [ahead, high, -out]), depthMm: best.depthMm }
}

/** The deepest bottom between two shoulders of the row at a level, in the field's coordinates; null where there is none. */
function bottomOfRow(
  field: HeightField,
  level: number,
  [middle, out]: readonly [number, number],
): { readonly at: Vec3; readonly depthMm: number } | null {
  const { nx, lowX, lowZ, stepMm, height } = field
  const row = Math.round((level - lowZ) / stepMm)
  const half = Math.round(rowHalfMm / stepMm)
  const reach = Math.round(look.shoulderMm / stepMm)
  const heights = Array.from({ length: nx }, (_, i) => {
    let sum = 0
    for (let j = row - half; j <= row + half; j++) sum += height[j * nx + i] ?? Number.NaN
    return sum / (2 * half + 1)
  })
  let best: { readonly at: Vec3; readonly depthMm: number } | null = null
  for (let i = 0; i < nx; i++) {
    const x = lowX + i * stepMm
    if (Math.abs(x - middle) > look.asideMm || !(heights[i]! > out - look.mostInMm)) continue
    const shoulder = (from: number, to: number) =>
      Math.max(...heights.slice(Math.max(0, from), to).filter((h) => !Number.isNaN(h)))
    const depthMm = Math.min(shoulder(i - reach, i), shoulder(i + 1, i + reach + 1)) - heights[i]!
    if (best === null || depthMm > best.depthMm) best = { at: [x, heights[i]!, lowZ + row * stepMm], depthMm }
  }
  return best
}

/** Coordinates (x, −z, y): what stood medially stands up. */
function asSeenFromMedially({ positions: p, triangles }: Mesh): Mesh {
  const out = new Float64Array(p.length)
  for (let i = 0; i < p.length; i += 3) {
    out[i] = p[i]!
    out[i + 1] = -p[i + 2]!
    out[i + 2] = p[i + 1]!
  }
  return { positions: out, triangles }
}
