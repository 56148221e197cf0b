import { fail, ok, type Result } from '../failure.ts'
import { isClosed } from '../geometry/closed.ts'
import { volume } from '../geometry/measure.ts'
import type { Mesh } from '../geometry/mesh.ts'

interface Sized {
  readonly size: number
}

interface SizeTable<F extends Sized, T extends Sized> {
  readonly name: string
  readonly femoral: readonly F[]
  readonly tibial: readonly T[]
  readonly insertsMm: readonly number[]
}

/**
 * The check of a family's whole table, remembered per family: sizes there and numbered once, inserts 3 to 40 mm and rising, no
 * size with a fault. `plan/impossible-size` names size and fault.
 * @param femoralFault what is wrong with a femoral size, null when nothing is
 * @param tibialFault the same of a tibial size with the thinnest insert, mm
 */
export function familyCheck<F extends Sized, T extends Sized, Family extends SizeTable<F, T>>(
  femoralFault: (size: F) => string | null,
  tibialFault: (size: T, insertMm: number) => string | null,
): (family: Family) => Result<Family> {
  const checked = new WeakMap<Family, Result<Family>>()
  return (family) => {
    const known = checked.get(family)
    if (known) return known
    const result = check(family)
    checked.set(family, result)
    return result
  }

  function check(family: Family): Result<Family> {
    if (family.femoral.length === 0 || family.tibial.length === 0 || family.insertsMm.length === 0)
      return fail('plan/impossible-size', `The family "${family.name}" has no sizes or no inserts.`)
    const tables: readonly (readonly Sized[])[] = [family.femoral, family.tibial]
    if (tables.some((sizes) => new Set(sizes.map((s) => s.size)).size < sizes.length))
      return fail('plan/impossible-size', `The family "${family.name}" has a size number twice.`)
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
}

const impossible = (kind: string, size: number, wrong: string) =>
  fail('plan/impossible-size', `The ${kind} size ${size} cannot be built: ${wrong}.`, { place: `${kind}.${size}` })

type Range = readonly [what: string, value: number, low: number, high: number]

/** The first dimension that is not within its range (NaN is not), in words; null when all are. */
export function outside(ranges: readonly Range[]): string | null {
  const found = ranges.find(([, value, low, high]) => !(value >= low && value <= high))
  return found ? `${found[0]} ${found[1]} is not between ${found[2]} and ${found[3]}` : null
}

/** Says so when a size's surfaces do not make a closed solid; null when they do. */
export const unclosed = (solid: Mesh): string | null =>
  !solid.positions.every(Number.isFinite) || !isClosed(solid) || !(volume(solid) > 0)
    ? 'its surfaces do not close'
    : null
