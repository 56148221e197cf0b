import type { Result } from '../failure.ts'
import { familyCheck, outside, unclosed } from './check-sizes.ts'
import type { PartialFamily, PartialFemoralSize, PartialTibialSize } from './partial-family.ts'
import { partialFemoralSolid, partialTraySolid } from './partial-solids.ts'

/**
 * A partial family from an edited table, usable only when every size can be built: lengths within reason, radii large enough for
 * their circles, solids closed. `plan/impossible-size` names size and dimension.
 */
export const checkPartialFamily: (family: PartialFamily) => Result<PartialFamily> = familyCheck(
  femoralFault,
  tibialFault,
)

function femoralFault(s: PartialFemoralSize): string | null {
  const wrong = outside([
    ['distal length', s.distalLengthMm, 20, 80],
    ['overall ML', s.overallMlMm, 8, 50],
    ['distal thickness', s.distalMm, 2, 15],
    ['posterior thickness', s.posteriorMm, 2, 15],
    ['distal radius', s.distalRadiusMm, 15, 120],
    ['posterior radius', s.posteriorRadiusMm, 8, 60],
    ['condyle height', s.condyleHeightMm, 5, 60],
    ['posterior chamfer', s.posteriorChamferMm, 1, 40],
    ['coronal radius', s.coronalRadiusMm, 8, 200],
  ])
  if (wrong) return wrong
  if (!(s.distalRadiusMm > s.posteriorRadiusMm + 1)) return 'the distal radius must exceed the posterior one'
  if (!(s.condyleHeightMm > s.posteriorChamferMm + 2)) return 'the posterior side ends at its chamfer'
  if (!(s.distalLengthMm > s.posteriorChamferMm + 4)) return 'the chamfer leaves no distal side'
  if (!(s.coronalRadiusMm > s.overallMlMm / 2)) return 'the coronal radius is too small for the width'
  return unclosed(partialFemoralSolid(s))
}

function tibialFault(s: PartialTibialSize, insertMm: number): string | null {
  const wrong = outside([
    ['overall AP', s.overallApMm, 20, 80],
    ['overall ML', s.overallMlMm, 10, 50],
    ['tray thickness', s.trayMm, 1, 15],
    ['coronal radius of the insert', s.insertCoronalRadiusMm, 10, 5000],
    ['sagittal radius of the insert', s.insertSagittalRadiusMm, 10, 5000],
    ['lip', s.lipMm, 0.5, 20],
  ])
  if (wrong) return wrong
  if (!(s.overallMlMm < s.overallApMm)) return 'it is wider than long'
  return unclosed(partialTraySolid(s, insertMm))
}
