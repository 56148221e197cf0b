/** Units a surface file may be in; STL and PLY do not say. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'inch'
export type UnitGuess = LengthUnit | 'unknown'

export const MM_PER_UNIT: Readonly<Record<LengthUnit, number>> = { mm: 1, cm: 10, m: 1000, inch: 25.4 }

export type SizedBone = 'femur' | 'tibia' | 'unknown'

/**
 * Plausible greatest extent of a bone model, mm, from the smallest adult to the tallest, whole bones. Lengths of
 * 463 ± 32 (femur) and 369 ± 28 (tibia): Strecker et al, J Orthop Trauma 1997;11:440 (check values §10); the bands
 * are about four standard deviations wide, plus what a box adds over a length.
 */
const WHOLE_BONE_MM: Readonly<Record<SizedBone, readonly [number, number]>> = {
  femur: [300, 620],
  tibia: [250, 520],
  unknown: [250, 620],
}

/** A truncated piece about a knee, hip or ankle is at least as wide as the joint: 45 mm, and shorter than a bone. */
const PIECE_MM: readonly [number, number] = [45, 250]

/**
 * The unit in which a bone of greatest extent `extent` (of its box diagonal's longest principal direction, in the
 * file's unit) has a plausible size. A whole bone decides first; a truncated piece only when no other unit would make
 * it whole or a piece as well. `unknown` when several units fit or none does.
 */
export function guessUnit(extent: number, bone: SizedBone = 'unknown'): UnitGuess {
  const within = (band: readonly [number, number]) =>
    UNITS.filter((u) => extent * MM_PER_UNIT[u] >= band[0] && extent * MM_PER_UNIT[u] <= band[1])
  const whole = within(WHOLE_BONE_MM[bone])
  const piece = within(PIECE_MM)
  const plausible = [...whole, ...piece]
  return plausible.length === 1 ? plausible[0]! : 'unknown'
}

const UNITS = Object.keys(MM_PER_UNIT) as readonly LengthUnit[]
