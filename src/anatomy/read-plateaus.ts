import type { BoneMesh } from '../geometry/bone.ts'
import { add, addScaled, scale, unit } from '../geometry/vec.ts'
import type { HeightField } from './height-field.ts'
import { intoLimb, type LimbFrame, outOfLimb } from './limb.ts'
import { contourIn } from './limb-contour.ts'
import { plateauPatch } from './plateau-patch.ts'
import { plateauRegions } from './plateau-region.ts'
import type { BearingPatch } from './settled-patch.ts'

/** Load-bearing patches of both plateaus, limb coordinates, mm; null where none can be told. */
export interface Plateaus {
  readonly medial: BearingPatch | null
  readonly lateral: BearingPatch | null
}

/** How far below the lower plateau point the condyles' outline and its axes are taken, mm. */
export const condylesDepthMm = 8
/** Where that outline lies under the middle of the spines before the plateaus are known, mm. */
const firstOutlineMm = 18

/**
 * Both plateaus of a surface seen from above, within the outline 8 mm below the lower one. That height is `levelMm` if a reading
 * before this one told it; else it is found from the height of the spines. Coarse, 0…1: both nearer to one slope; `dropMm` and
 * `rounds` as for `plateauPatch`.
 */
export function readPlateaus(
  bone: BoneMesh,
  limb: LimbFrame,
  seen: HeightField,
  height: { readonly levelMm: number | null; readonly spinesMm: number },
  look: { readonly coarse: number; readonly dropMm: number; readonly rounds: number },
): Plateaus {
  const within = (level: number): Plateaus => {
    const outline = contourIn(bone, limb, { point: [0, level, 0], normal: [0, 1, 0] })
    if (outline === null) return { medial: null, lateral: null }
    const regions = plateauRegions(outline)
    const patch = (side: 'medial' | 'lateral') => plateauPatch(seen, regions[side], look.dropMm, look.rounds)
    const both = { medial: patch('medial'), lateral: patch('lateral') }
    return look.coarse > 0 ? leaningAlike(both, look.coarse) : withoutFlanks(both)
  }
  if (height.levelMm !== null) return within(height.levelMm)
  const first = within(height.spinesMm - firstOutlineMm)
  return first.medial && first.lateral
    ? within(Math.min(first.medial.point[1], first.lateral.point[1]) - condylesDepthMm)
    : first
}

/** Both a share of the way to the mean of their normals: a single one stands on too few facets for MPTA to be levelled by it. */
function leaningAlike({ medial, lateral }: Plateaus, share: number): Plateaus {
  if (medial === null || lateral === null) return { medial, lateral }
  const both = add(medial.normal, lateral.normal)
  const leaning = (patch: BearingPatch): BearingPatch => ({
    ...patch,
    normal: unit(addScaled(scale(patch.normal, 1 - share), both, share / 2)),
  })
  return { medial: leaning(medial), lateral: leaning(lateral) }
}

/** No plateau leans more from the limb's Y: extreme slopes and joint lines together come to 22°; as a cosine. */
const mostLean = Math.cos((35 * Math.PI) / 180)

/** A plane that leans more than any plateau lies on the flank of a hollow: the other's lean stands in. */
function withoutFlanks({ medial, lateral }: Plateaus): Plateaus {
  const leans = (patch: BearingPatch | null): boolean => patch !== null && patch.normal[1] < mostLean
  const upright = (patch: BearingPatch | null, other: BearingPatch | null): BearingPatch | null =>
    patch && leans(patch)
      ? { ...patch, normal: other && !leans(other) ? other.normal : [0, 1, 0], onFlank: true }
      : patch
  return { medial: upright(medial, lateral), lateral: upright(lateral, medial) }
}

/** The height of the outline below plateaus that were read in one frame, for a reading in the `next`; mm. */
export function outlineLevel(
  { medial, lateral }: { readonly medial: BearingPatch; readonly lateral: BearingPatch },
  limb: LimbFrame,
  next: LimbFrame,
): number {
  const height = (patch: BearingPatch) => intoLimb(next, outOfLimb(limb, patch.point))[1]
  return Math.min(height(medial), height(lateral)) - condylesDepthMm
}
