import { fail, type Result } from '../failure.ts'
import { checkFamily } from './check-family.ts'
import { checkPartialFamily } from './check-partial-family.ts'
import { isTotalFamily, type OwnFamily, ownFamilyId } from './families.ts'
import type { FemoralSize, TibialSize, TotalFamily } from './family.ts'
import type { PartialFamily, PartialFemoralSize, PartialTibialSize } from './partial-family.ts'

/** Dimensions of a total femoral component, in the order of its table. */
export const femoralColumns = [
  'overallApMm',
  'overallMlMm',
  'distalMm',
  'posteriorMm',
  'anteriorMm',
  'flangeHeightMm',
  'condyleHeightMm',
  'posteriorChamferMm',
  'anteriorChamferMm',
  'flangeTiltDeg',
  'flangeTaper',
  'distalRadiusMm',
  'posteriorRadiusMm',
  'coronalRadiusMm',
  'crestSpacingMm',
  'notchWidthMm',
] as const satisfies readonly Exclude<keyof FemoralSize, 'size'>[]

export const tibialColumns = [
  'overallMlMm',
  'medialApMm',
  'lateralApMm',
  'trayMm',
  'dwellSpacingMm',
  'notchWidthMm',
  'notchDepthMm',
  'insertScale',
  'insertCoronalRadiusMm',
  'insertSagittalRadiusMm',
  'lipMm',
] as const satisfies readonly Exclude<keyof TibialSize, 'size'>[]

export const partialFemoralColumns = [
  'distalLengthMm',
  'overallMlMm',
  'distalMm',
  'posteriorMm',
  'distalRadiusMm',
  'posteriorRadiusMm',
  'condyleHeightMm',
  'posteriorChamferMm',
  'coronalRadiusMm',
] as const satisfies readonly Exclude<keyof PartialFemoralSize, 'size'>[]

export const partialTibialColumns = [
  'overallApMm',
  'overallMlMm',
  'trayMm',
  'insertCoronalRadiusMm',
  'insertSagittalRadiusMm',
  'lipMm',
] as const satisfies readonly Exclude<keyof PartialTibialSize, 'size'>[]

/** One size of a family as a row of its table: its number, then its dimensions by name. */
export interface TableRow {
  readonly size: number
  readonly values: Readonly<Record<string, number>>
}

/** A family as a table that can be edited: sizes of either part, and inserts. */
export interface ComponentTable {
  readonly procedure: 'total' | 'medial-partial'
  readonly name: string
  /** Total only. */
  readonly bearing: 'fixed' | 'mobile'
  readonly femoral: readonly TableRow[]
  readonly tibial: readonly TableRow[]
  readonly insertsMm: readonly number[]
}

/** Names of the dimensions of one part, in order. */
export const columnsOf = (procedure: ComponentTable['procedure'], part: 'femoral' | 'tibial'): readonly string[] =>
  procedure === 'total'
    ? part === 'femoral'
      ? femoralColumns
      : tibialColumns
    : part === 'femoral'
      ? partialFemoralColumns
      : partialTibialColumns

/** A family laid out as a table. */
export function tableOf(family: OwnFamily): ComponentTable {
  const rows = (sizes: readonly object[], columns: readonly string[]): readonly TableRow[] =>
    sizes.map((size) => {
      const record = size as Readonly<Record<string, number>>
      return { size: record['size']!, values: Object.fromEntries(columns.map((name) => [name, record[name]!])) }
    })
  const procedure = isTotalFamily(family) ? 'total' : 'medial-partial'
  return {
    procedure,
    name: family.name,
    bearing: isTotalFamily(family) ? family.bearing : 'fixed',
    femoral: rows(family.femoral, columnsOf(procedure, 'femoral')),
    tibial: rows(family.tibial, columnsOf(procedure, 'tibial')),
    insertsMm: family.insertsMm,
  }
}

/**
 * The case's own family out of an edited table. A dimension that is missing or no number, a stranger's name, a size that is no whole
 * number, and what cannot be built are `plan/impossible-size` with the place.
 */
export function familyOf(table: ComponentTable): Result<OwnFamily> {
  const { procedure, name, bearing, insertsMm } = table
  for (const part of ['femoral', 'tibial'] as const) {
    const columns = columnsOf(procedure, part)
    for (const { size, values } of table[part]) {
      const place = `${part}.${size}`
      if (!Number.isInteger(size) || size < 1 || size > 99)
        return fail('plan/impossible-size', `A size is a whole number from 1 to 99; ${size} is not.`, { place })
      const missing = columns.find((column) => !Number.isFinite(values[column]))
      if (missing) return fail('plan/impossible-size', `The ${part} size ${size} has no ${missing}.`, { place })
      const strange = Object.keys(values).find((column) => !columns.includes(column))
      if (strange)
        return fail(
          'plan/impossible-size',
          `The ${part} size ${size} has a dimension “${strange}”, which no such part has.`,
          {
            hint: `Its dimensions: ${columns.join(', ')}.`,
            place,
          },
        )
    }
  }
  const sizes = (rows: readonly TableRow[]) =>
    [...rows].sort((a, b) => a.size - b.size).map(({ size, values }) => ({ size, ...values }))
  const common = { id: ownFamilyId, name, insertsMm: [...insertsMm].sort((a, b) => a - b) }
  if (procedure === 'total')
    return checkFamily({
      ...common,
      bearing,
      femoral: sizes(table.femoral) as unknown as TotalFamily['femoral'],
      tibial: sizes(table.tibial) as unknown as TotalFamily['tibial'],
    })
  return checkPartialFamily({
    ...common,
    femoral: sizes(table.femoral) as unknown as PartialFamily['femoral'],
    tibial: sizes(table.tibial) as unknown as PartialFamily['tibial'],
  })
}
