import { fail, ok, type Result } from '../failure.ts'
import { isClosed } from '../geometry/closed.ts'
import { volume } from '../geometry/measure.ts'
import { boxApMm, type FemoralSize, type TibialSize, type TotalFamily } from './family.ts'
import { femoralSolid } from './femoral-solid.ts'
import { traySolid } from './tray-solid.ts'

/**
 * A family from an edited table, usable only when every size can be built: lengths positive and within reason, the box longer than
 * its chamfers, the radii large enough for their circles, the solids closed. `plan/impossible-size` names size and dimension.
 */
export function checkFamily(family: TotalFamily): Result<TotalFamily> {
  const known = checked.get(family)
  if (known) return known
  const result = check(family)
  checked.set(family, result)
  return result
}

const checked = new WeakMap<TotalFamily, Result<TotalFamily>>()

function check(family: TotalFamily): Result<TotalFamily> {
  if (family.femoral.length === 0 || family.tibial.length === 0 || family.insertsMm.length === 0)
    return fail('plan/impossible-size', `The family "${family.name}" has no sizes or no inserts.`)
  const doubled = [family.femoral, family.tibial].some((sizes) => new Set(sizes.map((s) => s.size)).size < sizes.length)
  if (doubled) return fail('plan/impossible-size', `The family "${family.name}" has a size number twice.`)
  if (family.insertsMm.some((mm, i) => !(mm >= 3 && mm <= 40) || (i > 0 && mm <= family.insertsMm[i - 1]!)))
    return fail('plan/impossible-size', 'Inserts must be 3 to 40 mm, thinnest first.', { place: 'insertsMm' })
  for (const size of family.femoral) {
    const wrong = femoralFault(size)
    if (wrong) return impossible('femoral', size.size, wrong)
  }
  for (const size of family.tibial) {
    const wrong = tibialFault(size, family.insertsMm[0]!)
    if (wrong) return impossible('tibial', size.size, wrong)
  }
  return ok(family)
}

const impossible = (kind: string, size: number, wrong: string) =>
  fail('plan/impossible-size', `The ${kind} size ${size} cannot be built: ${wrong}.`, { place: `${kind}.${size}` })

function femoralFault(s: FemoralSize): string | null {
  const lengths: readonly (readonly [string, number, number, number])[] = [
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
  ]
  const outside = lengths.find(([, value, low, high]) => !(value >= low && value <= high))
  if (outside) return `${outside[0]} ${outside[1]} is not between ${outside[2]} and ${outside[3]}`
  if (!(s.distalRadiusMm > s.posteriorRadiusMm + 1)) return 'the distal radius must exceed the posterior one'
  if (!(boxApMm(s) > s.posteriorChamferMm + s.anteriorChamferMm + 4)) return 'the chamfers leave no distal side'
  if (!(s.flangeHeightMm > s.anteriorChamferMm + 5)) return 'the flange ends at its chamfer'
  if (!(s.condyleHeightMm > s.posteriorChamferMm + 2)) return 'the posterior side ends at its chamfer'
  if (!(s.notchWidthMm > 2 && s.notchWidthMm < s.crestSpacingMm - 2)) return 'the notch reaches the crests'
  if (!(s.crestSpacingMm < s.overallMlMm - 4)) return 'the crests stand at the edges'
  if (!(s.coronalRadiusMm > (s.overallMlMm - s.crestSpacingMm) / 2))
    return 'the coronal radius is too small for the width'
  const solid = femoralSolid(s)
  if (!solid.positions.every(Number.isFinite) || !isClosed(solid) || !(volume(solid) > 0))
    return 'its surfaces do not close'
  return null
}

function tibialFault(s: TibialSize, insertMm: number): string | null {
  const lengths: readonly (readonly [string, number, number, number])[] = [
    ['overall ML', s.overallMlMm, 30, 120],
    ['medial AP', s.medialApMm, 20, 90],
    ['lateral AP', s.lateralApMm, 20, 90],
    ['tray thickness', s.trayMm, 1, 15],
    ['insert scale', s.insertScale, 0.7, 1],
    ['coronal radius of the insert', s.insertCoronalRadiusMm, 10, 500],
    ['sagittal radius of the insert', s.insertSagittalRadiusMm, 10, 500],
    ['lip', s.lipMm, 0.5, 20],
  ]
  const outside = lengths.find(([, value, low, high]) => !(value >= low && value <= high))
  if (outside) return `${outside[0]} ${outside[1]} is not between ${outside[2]} and ${outside[3]}`
  if (!(s.dwellSpacingMm > 10 && s.dwellSpacingMm < s.overallMlMm - 6)) return 'its lowest points stand at the edges'
  if (!(s.notchWidthMm > 2 && s.notchWidthMm < s.overallMlMm / 2)) return 'the notch is wider than half the tray'
  if (!(s.notchDepthMm >= 0 && s.notchDepthMm < 0.3 * s.lateralApMm)) return 'the notch is too deep'
  const solid = traySolid(s, insertMm)
  if (!solid.positions.every(Number.isFinite) || !isClosed(solid) || !(volume(solid) > 0))
    return 'its surfaces do not close'
  return null
}
