import type { FemoralSize, TibialSize, TotalFamily } from './family.ts'

/**
 * The built-in total family: invented, no maker's data. Femoral lengths lie within two standard deviations of the
 * condylar depth and below the bicondylar width of Terzidis et al., Anat Res Int 2012, and Kapur et al., Folia Medica
 * (Sarajevo); tibial lengths within the plateau sizes collected in PMC9703208.
 */
export const genericTotal: TotalFamily = {
  id: 'generic-total',
  name: 'Generic total, fixed bearing',
  bearing: 'fixed',
  femoral: [
    femoral(1, 50, 57, 8),
    femoral(2, 53, 60, 8),
    femoral(3, 56, 63, 8),
    femoral(4, 59, 66, 9),
    femoral(5, 62, 69, 9),
    femoral(6, 65, 72, 9),
    femoral(7, 68, 75, 9),
    femoral(8, 72, 79, 9),
  ],
  tibial: [
    tibial(1, 60, 41, 37),
    tibial(2, 63, 43, 39),
    tibial(3, 66, 45, 41),
    tibial(4, 69, 47, 43),
    tibial(5, 72, 49, 44),
    tibial(6, 75, 51, 46),
    tibial(7, 78, 53, 48),
    tibial(8, 82, 55.5, 50),
  ],
  insertsMm: [7, 8, 9, 10, 12, 14, 16],
}

/** The same with an insert that turns on the tray; femoral components are the same ones. */
export const genericTotalMobile: TotalFamily = {
  id: 'generic-total-mobile',
  name: 'Generic total, mobile bearing',
  bearing: 'mobile',
  femoral: genericTotal.femoral,
  tibial: genericTotal.tibial.map((s) => ({
    ...s,
    insertScale: 0.95,
    insertCoronalRadiusMm: 0.36 * s.overallMlMm,
    insertSagittalRadiusMm: 0.58 * s.overallMlMm,
  })),
  insertsMm: genericTotal.insertsMm,
}

function femoral(size: number, overallApMm: number, overallMlMm: number, thicknessMm: number): FemoralSize {
  return {
    size,
    overallApMm,
    overallMlMm,
    distalMm: thicknessMm,
    posteriorMm: thicknessMm,
    anteriorMm: 7.5,
    flangeHeightMm: 0.68 * overallApMm,
    condyleHeightMm: 0.44 * overallApMm,
    posteriorChamferMm: 0.19 * overallApMm,
    anteriorChamferMm: 0.22 * overallApMm,
    flangeTiltDeg: 4,
    flangeTaper: 0.26,
    distalRadiusMm: 0.57 * overallApMm,
    posteriorRadiusMm: 0.35 * overallApMm,
    coronalRadiusMm: 0.46 * overallMlMm,
    crestSpacingMm: 0.68 * overallMlMm,
    notchWidthMm: 0.28 * overallMlMm,
  }
}

function tibial(size: number, overallMlMm: number, medialApMm: number, lateralApMm: number): TibialSize {
  return {
    size,
    overallMlMm,
    medialApMm,
    lateralApMm,
    trayMm: 3,
    dwellSpacingMm: 0.62 * overallMlMm,
    notchWidthMm: 0.34 * overallMlMm,
    notchDepthMm: 0.12 * medialApMm,
    insertScale: 1,
    insertCoronalRadiusMm: 0.55 * overallMlMm,
    insertSagittalRadiusMm: 0.8 * overallMlMm,
    lipMm: 5,
  }
}
