export const coronalTypes = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII', 'VIII', 'IX'] as const
export type CoronalType = (typeof coronalTypes)[number]

/**
 * Nine-type coronal class of a knee from its LDFA and MPTA, degrees (MacDessi et al., Bone Joint J
 * 2021;103-B:329): columns by arithmetic HKA = MPTA − LDFA (varus below −2, valgus above +2), rows by joint line
 * obliquity MPTA + LDFA (apex distal below 177, apex proximal above 183). Limits belong to the middle class and
 * unrounded values are compared; 1e-9° absorbs rounding of the sums.
 */
export function coronalType(ldfaDeg: number, mptaDeg: number): CoronalType {
  const arithmetic = mptaDeg - ldfaDeg
  const obliquity = mptaDeg + ldfaDeg
  const slack = 1e-9
  const column = arithmetic < -2 - slack ? 0 : arithmetic > 2 + slack ? 2 : 1
  const row = obliquity < 177 - slack ? 0 : obliquity > 183 + slack ? 2 : 1
  return coronalTypes[3 * row + column]!
}

/** A type in words: the limb by its arithmetic axis, then where the apex of the joint line points. */
export function coronalTypeWords(type: CoronalType): string {
  const k = coronalTypes.indexOf(type)
  return `${['varus', 'neutral', 'valgus'][k % 3]!}, ${['apex distal', 'level joint line', 'apex proximal'][Math.floor(k / 3)]!}`
}
