import { caution, programVersion } from '../casefile/program.ts'
import { type ComponentTable, columnsOf, tableOf } from '../implants/component-table.ts'
import type { OwnFamily } from '../implants/families.ts'
import { csvText } from './csv.ts'
import { jsonText } from './findings-json.ts'

/** A family as a CSV that the program reads again: a row for the family, one per size and insert. */
export function componentCsv(family: OwnFamily): string {
  const table = tableOf(family)
  const dimensions = [...new Set([...columnsOf(table.procedure, 'femoral'), ...columnsOf(table.procedure, 'tibial')])]
  const blank = dimensions.map(() => null)
  const rows = [
    ['family', null, table.name, table.procedure === 'total' ? table.bearing : null, null, ...blank],
    ...(['femoral', 'tibial'] as const).flatMap((part) =>
      table[part].map(({ size, values }) => [
        part,
        size,
        null,
        null,
        null,
        ...dimensions.map((name) => values[name] ?? null),
      ]),
    ),
    ...table.insertsMm.map((mm) => ['insert', null, null, null, mm, ...blank]),
  ]
  return csvText(
    [`component table, ${table.procedure}; lengths in mm, tilt in degrees, taper and scale without unit`],
    ['part', 'size', 'name', 'bearing', 'thicknessMm', ...dimensions],
    rows,
  )
}

/** The same as one JSON document, `floorline.components/1`. */
export const componentJson = (family: OwnFamily): string => jsonText(componentDocument(tableOf(family)))

/** What that document holds. */
export const componentDocument = (table: ComponentTable): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.components/1',
  version: programVersion,
  caution,
  ...table,
})
