import { fail, ok, type Result } from '../failure.ts'
import { isClosed } from '../geometry/closed.ts'
import { volume } from '../geometry/measure.ts'
import type { PartialFamily, PartialFemoralSize, PartialTibialSize } from './partial-family.ts'
import { partialFemoralSolid, partialTraySolid } from './partial-solids.ts'

/**
 * A partial family from an edited table, usable only when every size can be built: lengths within reason, radii large enough for
 * their circles, solids closed. `plan/impossible-size` names size and dimension.
 */
export function checkPartialFamily(family: PartialFamily): Result<PartialFamily> {
  const known = checked.get(family)
  if (known) return known
  const result = check(family)
  checked.set(family, result)
  return result
}

const checked = new WeakMap<PartialFamily, Result<PartialFamily>>()

function check(family: PartialFamily): Result<PartialFamily> {
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

type Range = readonly [what: string, value: number, low: number, high: number]

function outside(ranges: readonly Range[]): string | null {
  const found = ranges.find(([, value, low, high]) => !(value >= low && value <= high))
  return found ? `${found[0]} ${found[1]} is not between ${found[2]} and ${found[3]}` : null
}

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

const unclosed = (solid: ReturnType<typeof partialTraySolid>): string | null =>
  !solid.positions.every(Number.isFinite) || !isClosed(solid) || !(volume(solid) > 0)
    ? 'its surfaces do not close'
    : null
