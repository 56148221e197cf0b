import type { BoneMesh } from '../geometry/bone.ts'
import { offsetPlane, type Plane, signedDistance } from '../geometry/plane.ts'
import { section } from '../geometry/section.ts'
import { addScaled, cross, dot, sub, type Vec3 } from '../geometry/vec.ts'
import type { FemoralSize } from '../implants/family.ts'
import { type FemoralBox, femoralBox } from './femoral-box.ts'

/** A femoral size on the cuts: where the anterior cut meets the cortex, and how wide the component is for the bone. */
export interface FemoralFit {
  readonly size: FemoralSize
  readonly box: FemoralBox
  /** How far the cortex stands ahead of the anterior cut at the tip of the flange: positive notches, negative stands proud; null when no bone is there. */
  readonly notchMm: number | null
  /** How far the component is wider than the distal section, both sides together; negative when narrower. */
  readonly widerMm: number
}

/** Distal section of the femur along the cut's medio-lateral direction, about the knee centre. */
export interface FemoralBed {
  readonly distal: Plane
  readonly posterior: Plane
  readonly kneeCentre: Vec3
  /** Unit, to the subject's right. */
  readonly sideways: Vec3
  readonly lowMm: number
  readonly highMm: number
  /** The case's own shift from the proposed place, to the subject's right, mm. */
  readonly shiftMm: number
  readonly sectionMm2: number
}

/** Null when the distal plane meets no bone. */
export function femoralBed(
  bone: BoneMesh,
  distal: Plane,
  posterior: Plane,
  kneeCentre: Vec3,
  shiftMm: number,
): FemoralBed | null {
  const sideways = cross(posterior.normal, distal.normal)
  const cut = section(bone.tree, distal)
  let lowMm = Number.POSITIVE_INFINITY
  let highMm = Number.NEGATIVE_INFINITY
  for (const p of cut.loops.flat()) {
    const z = dot(sub(p, kneeCentre), sideways)
    lowMm = Math.min(lowMm, z)
    highMm = Math.max(highMm, z)
  }
  if (!(highMm > lowMm)) return null
  return { distal, posterior, kneeCentre, sideways, lowMm, highMm, shiftMm, sectionMm2: cut.areaMm2 }
}

/**
 * Position rule: the midline through the knee centre, moved only as far as keeps both edges on the distal section; midway
 * over it when the component is wider.
 */
function midline(bed: FemoralBed, size: FemoralSize): Vec3 {
  const low = bed.lowMm + size.overallMlMm / 2
  const high = bed.highMm - size.overallMlMm / 2
  const z = low > high ? (low + high) / 2 : Math.min(high, Math.max(low, 0))
  return addScaled(bed.kneeCentre, bed.sideways, z + bed.shiftMm)
}

/** Puts one size on the bed; `deeper` moves the planes into the bone when its thickness differs from the bed's component. */
export function fitFemoral(
  bone: BoneMesh,
  bed: FemoralBed,
  size: FemoralSize,
  deeper: { readonly distalMm: number; readonly posteriorMm: number } = { distalMm: 0, posteriorMm: 0 },
): FemoralFit {
  const box = femoralBox(
    offsetPlane(bed.distal, deeper.distalMm),
    offsetPlane(bed.posterior, deeper.posteriorMm),
    midline(bed, size),
    size,
  )
  return {
    size,
    box,
    notchMm: notchMm(bone, box, size, box.anterior),
    widerMm: size.overallMlMm - (bed.highMm - bed.lowMm),
  }
}

/**
 * How far the cortex stands ahead of an anterior cut at the tip of the flange, along the component's own anterior axis: positive
 * notches, negative stands proud; null when no bone is there.
 */
export function notchMm(bone: BoneMesh, { frame }: FemoralBox, size: FemoralSize, anterior: Plane): number | null {
  const tip = addScaled(frame.origin, frame.y, size.flangeHeightMm)
  const halfWidth = (size.overallMlMm / 2) * (1 - size.flangeTaper)
  const opening = dot(anterior.normal, frame.x)
  let most: number | null = null
  for (const p of section(bone.tree, { point: tip, normal: frame.y }).loops.flat()) {
    const d = sub(p, tip)
    if (Math.abs(dot(d, frame.z)) > halfWidth) continue
    const ahead = signedDistance(anterior, p) / opening
    if (most === null || ahead > most) most = ahead
  }
  return most
}

/** The cortex may stand this far ahead of the anterior cut before the next size up is proposed. */
export const allowedNotchMm = 0.5

/**
 * Sizing rule: the smallest size whose anterior cut does not notch the cortex at the tip of the flange (posterior
 * referencing), the largest when all do; or the size whose box comes nearest (anterior referencing). The runner-up is the neighbour whose anterior cut comes nearest to the cortex.
 */
export function proposeFemoral(
  bone: BoneMesh,
  bed: FemoralBed,
  on: FemoralSize,
  sizes: readonly FemoralSize[],
  distalIsFixed: boolean,
  referencing: 'posterior' | 'anterior',
): { readonly proposed: FemoralFit; readonly runnerUp: FemoralFit | null } {
  const fits = sizes.map((size) =>
    fitFemoral(bone, bed, size, {
      distalMm: distalIsFixed ? 0 : size.distalMm - on.distalMm,
      posteriorMm: size.posteriorMm - on.posteriorMm,
    }),
  )
  const off = (fit: FemoralFit) => Math.abs(fit.notchMm ?? Number.POSITIVE_INFINITY)
  const clear = fits.findIndex((fit) => fit.notchMm !== null && fit.notchMm <= allowedNotchMm)
  const nearest = fits.reduce((best, fit, i) => (off(fit) < off(fits[best]!) ? i : best), 0)
  const chosen = referencing === 'anterior' ? nearest : clear < 0 ? fits.length - 1 : clear
  const beside = [fits[chosen - 1], fits[chosen + 1]].filter((fit): fit is FemoralFit => fit !== undefined)
  const runnerUp = beside.reduce<FemoralFit | null>(
    (best, fit) => (best === null || off(fit) < off(best) ? fit : best),
    null,
  )
  return { proposed: fits[chosen]!, runnerUp }
}
