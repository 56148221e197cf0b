import type { Result } from '../failure.ts'
import { familyCheck, outside, unclosed } from './check-sizes.ts'
import { boxApMm, type FemoralSize, type TibialSize, type TotalFamily } from './family.ts'
import { femoralSolid } from './femoral-solid.ts'
import { traySolid } from './tray-solid.ts'

/**
 * A family from an edited table, usable only when every size can be built: lengths positive and within reason, the box longer than
 * its chamfers, the radii large enough for their circles, the solids closed. `plan/impossible-size` names size and dimension.
 */
export const checkFamily: (family: TotalFamily) => Result<TotalFamily> = familyCheck(femoralFault, tibialFault)

function femoralFault(s: FemoralSize): string | null {
  const wrong = outside([
    ['overall AP', s.overallApMm, 30, 110],
    ['overall ML', s.overallMlMm, 30, 120],
    ['distal thickness', s.distalMm, 3, 20],
    ['posterior thickness', s.posteriorMm, 3, 20],
    ['anterior thickness', s.anteriorMm, 3, 20],
    ['flange tilt', s.flangeTiltDeg, 0, 15],
    ['flange taper', s.flangeTaper, 0, 0.6],
    ['posterior radius', s.posteriorRadiusMm, 10, 60],
    ['distal radius', s.distalRadiusMm, 15, 120],
    ['coronal radius', s.coronalRadiusMm, 10, 200],
  ])
  if (wrong) return wrong
  if (!(s.distalRadiusMm > s.posteriorRadiusMm + 1)) return 'the distal radius must exceed the posterior one'
  if (!(boxApMm(s) > s.posteriorChamferMm + s.anteriorChamferMm + 4)) return 'the chamfers leave no distal side'
  if (!(s.flangeHeightMm > s.anteriorChamferMm + 5)) return 'the flange ends at its chamfer'
  if (!(s.condyleHeightMm > s.posteriorChamferMm + 2)) return 'the posterior side ends at its chamfer'
  if (!(s.notchWidthMm > 2 && s.notchWidthMm < s.crestSpacingMm - 2)) return 'the notch reaches the crests'
  if (!(s.crestSpacingMm < s.overallMlMm - 4)) return 'the crests stand at the edges'
  if (!(s.coronalRadiusMm > (s.overallMlMm - s.crestSpacingMm) / 2))
    return 'the coronal radius is too small for the width'
  return unclosed(femoralSolid(s))
}

function tibialFault(s: TibialSize, insertMm: number): string | null {
  const wrong = outside([
    ['overall ML', s.overallMlMm, 30, 120],
    ['medial AP', s.medialApMm, 20, 90],
    ['lateral AP', s.lateralApMm, 20, 90],
    ['tray thickness', s.trayMm, 1, 15],
    ['insert scale', s.insertScale, 0.7, 1],
    ['coronal radius of the insert', s.insertCoronalRadiusMm, 10, 500],
    ['sagittal radius of the insert', s.insertSagittalRadiusMm, 10, 500],
    ['lip', s.lipMm, 0.5, 20],
  ])
  if (wrong) return wrong
  if (!(s.dwellSpacingMm > 10 && s.dwellSpacingMm < s.overallMlMm - 6)) return 'its lowest points stand at the edges'
  if (!(s.notchWidthMm > 2 && s.notchWidthMm < s.overallMlMm / 2)) return 'the notch is wider than half the tray'
  if (!(s.notchDepthMm >= 0 && s.notchDepthMm < 0.3 * s.lateralApMm)) return 'the notch is too deep'
  return unclosed(traySolid(s, insertMm))
}
