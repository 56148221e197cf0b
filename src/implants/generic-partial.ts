import type { PartialFamily, PartialFemoralSize, PartialTibialSize } from './partial-family.ts'

/**
 * The built-in medial partial family: invented, no maker's data. Femoral thickness 6.5 and tibial composite 8 and more lie in
 * the ranges of common practice (no source): 4–6.5 mm and 6–8 mm and more. Lengths follow condylar depth (Terzidis et al., Anat
 * Res Int 2012) and the medial plateau's length (PMC9703208).
 */
export const genericPartial: PartialFamily = {
  id: 'generic-partial',
  name: 'Generic medial partial',
  femoral: [36, 38, 40, 42, 44, 46, 48, 51].map((length, i) => femoral(i + 1, length)),
  tibial: [38, 40.5, 43, 45.5, 48, 50.5, 53, 56].map((length, i) => tibial(i + 1, length)),
  insertsMm: [6, 7, 8, 9, 10, 11],
}

function femoral(size: number, distalLengthMm: number): PartialFemoralSize {
  return {
    size,
    distalLengthMm,
    overallMlMm: 0.45 * distalLengthMm + 1,
    distalMm: 6.5,
    posteriorMm: 6.5,
    distalRadiusMm: 0.85 * distalLengthMm,
    posteriorRadiusMm: 0.5 * distalLengthMm,
    condyleHeightMm: 0.56 * distalLengthMm,
    posteriorChamferMm: 0.22 * distalLengthMm,
    coronalRadiusMm: 0.75 * distalLengthMm,
  }
}

function tibial(size: number, overallApMm: number): PartialTibialSize {
  return {
    size,
    overallApMm,
    overallMlMm: 0.54 * overallApMm,
    trayMm: 2,
    insertCoronalRadiusMm: 3 * overallApMm,
    insertSagittalRadiusMm: 4 * overallApMm,
    lipMm: 2,
  }
}
