/** What is expected where there is no surface to look at, and at most: what lies farther off, a finder refuses; mm. */
export const mostExpectedMm = 8

/** The expected error per direction, mm, by which a landmark lies within `mm` with this chance (0…1); the inverse of `chanceWithin`. */
export const expectedFor = (chance: number, mm: number): number =>
  Math.min(mostExpectedMm, mm / Math.sqrt(-2 * Math.log(1 - Math.min(0.999, Math.max(0.01, chance)))))
