/** Chance that a point with this expected error in each of two directions lies within a distance (Rayleigh). */
export const chanceWithin = (mm: number, expectedMm: number): number =>
  expectedMm > 0 ? 1 - Math.exp((-mm * mm) / (2 * expectedMm * expectedMm)) : 1
