import { offByNoiseMm } from './error-sources.ts'
import type { BearingPatch } from './settled-patch.ts'
import { astray } from './spines.ts'
import type { TibiaReading } from './tibia-reading.ts'

/** How far a finding is trusted (0…1), and why no further; null where nothing speaks against it. */
export interface Doubt {
  readonly confidence: number
  readonly reason: string | null
}

export interface PlateauDoubt extends Doubt {
  /** As in `PlateauPatch`. */
  readonly unevenMm: number | null
  /** Why this plateau's own plane tells no slope, else null. */
  readonly slopeUnclear: string | null
}

/** What the surface of a tibia leaves unclear about its upper end. */
export interface TibiaDoubts {
  /** The triangles there are too long for features; null where they are not. */
  readonly coarse: string | null
  /** Coarse, or the plateaus are not told apart. */
  readonly unclear: string | null
  readonly spines: Doubt
  readonly medial: PlateauDoubt
  readonly lateral: PlateauDoubt
}

/** Of 69 degraded legs on which one spine was missed, 70 % had the middle within 3 mm. */
const missedSpine = 0.65
/** Without triangles that could show a spine, or with a bump beside them: of 16 that stood astray 14 were more than 3 mm off. */
const unseenSpines = 0.25

/**
 * What a reading (limb coordinates, mm) leaves unclear. `told` are its plateaus with the points in use, `coarse` as of the bone's ends, `noiseMm`
 * what was seen on the bone.
 */
export function tibiaDoubts(
  reading: TibiaReading,
  told: { readonly medial: BearingPatch; readonly lateral: BearingPatch },
  seen: { readonly coarse: number; readonly noiseMm: number },
): TibiaDoubts {
  const coarse = seen.coarse > 0 ? tooCoarse(reading.edgeMm) : null
  const apartMm = Math.abs(told.medial.point[2] - told.lateral.point[2])
  const standIn = reading.plateausByOutline ? `${coarse} ${byOutline}` : null
  const unclear = standIn ?? (apartMm < leastApartMm ? notApart(apartMm) : coarse)
  const plateau = (patch: BearingPatch): PlateauDoubt => {
    const unevenMm = unevenBeyond(patch, seen.noiseMm)
    const uneven = unevenMm === null ? null : isUneven(unevenMm)
    const confidence = unclear === null ? (uneven === null ? 0.9 : onUneven) : unclear === coarse ? 0.5 : 0.3
    return { confidence, reason: unclear ?? uneven, unevenMm, slopeUnclear: patch.onFlank ? flank : null }
  }
  return {
    coarse,
    unclear,
    spines: doubtOfSpines(reading, coarse),
    medial: plateau(told.medial),
    lateral: plateau(told.lateral),
  }
}

function doubtOfSpines({ spines, medial, lateral }: TibiaReading, coarse: string | null): Doubt {
  if (coarse !== null) return { confidence: unseenSpines, reason: `${coarse} ${spinesByOutline}` }
  const bump = astray(spines, { medial: medial.point, lateral: lateral.point })
  if (bump !== null) return { confidence: unseenSpines, reason: bump }
  return spines.count === 2 ? { confidence: 0.9, reason: null } : { confidence: missedSpine, reason: oneSpine }
}

const oneSpine = 'Only one spine stands out on this surface.'
const spinesByOutline = 'The spines stand in over the middle of the outline.'

/**
 * Eight plateaus of real tibiae lie up to 1.1 mm off a quadratic, made ones up to 0.3; hollows and bumps that move their centres by
 * more than 2 mm, 1.2 and more (16 of 18), and turn their planes by 2° to 60°; mm.
 */
const unevenFromMm = 1.25
const onUneven = 0.5
const isUneven = (mm: number): string =>
  `This plateau is uneven (${mm.toFixed(1)} mm off a smooth surface), perhaps worn or with an osteophyte: its centre and its slope are those of what is left. Look, and set it by hand.`
const flank =
  'The plane of this plateau comes to lie on the flank of a hollow: no slope is told by it, nor is MPTA levelled by it. Fit a plane to what is left of the plateau.'

function unevenBeyond({ unevenMm = 0 }: BearingPatch, noiseMm: number): number | null {
  const own = Math.sqrt(Math.max(0, unevenMm ** 2 - offByNoiseMm(noiseMm) ** 2))
  return own > unevenFromMm ? own : null
}

/** Plateau centres nearer to each other than this belong to no adult knee, mm (common practice, no source). */
const leastApartMm = 30
const notApart = (mm: number): string =>
  `The two plateaus are not told apart on this surface: their centres lie only ${mm.toFixed(0)} mm from each other. Set both by hand.`
const tooCoarse = (edgeMm: number): string =>
  `The triangles about the plateaus are ${edgeMm.toFixed(0)} mm long: too coarse for spines, notch and slopes.`
const byOutline =
  'Neither plateau is told surely; both points lean on where plateaus lie within the outline. Set both by hand.'
