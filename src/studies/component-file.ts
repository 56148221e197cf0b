import { fail, ok, type Result } from '../failure.ts'
import { type ComponentTable, familyOf, type TableRow } from '../implants/component-table.ts'
import type { OwnFamily } from '../implants/families.ts'
import { csvRows } from './csv-table.ts'

/**
 * The case's own component family out of a file of the program's own kind: CSV (columns part, size, name, bearing, thicknessMm and the
 * dimensions) or JSON (`floorline.components/1`). What cannot be read or built is a failure that names the row or size.
 */
export function parseComponents(text: string): Result<OwnFamily> {
  const table = text.trimStart().startsWith('{') ? fromJson(text) : fromCsv(text)
  return table.ok ? familyOf(table.value) : table
}

const syntax = (message: string, place: string) => fail('case/syntax', message, { place })

function fromJson(text: string): Result<ComponentTable> {
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch (error) {
    return syntax('The component table is not valid JSON.', error instanceof Error ? error.message : 'file')
  }
  const record = json as Readonly<Record<string, unknown>>
  if (record['schema'] !== 'floorline.components/1')
    return syntax('This JSON is no component table.', 'schema: floorline.components/1')
  const { procedure, name, bearing, insertsMm } = record as Readonly<Record<string, unknown>>
  const parts = [record['femoral'], record['tibial']].map((rows) =>
    Array.isArray(rows) && rows.every(isRow) ? (rows as readonly TableRow[]) : null,
  )
  const [femoral, tibial] = parts
  if (procedure !== 'total' && procedure !== 'medial-partial')
    return syntax('The procedure is total or medial-partial.', 'procedure')
  if (!femoral) return syntax('The femoral sizes are a list of { size, values }.', 'femoral')
  if (!tibial) return syntax('The tibial sizes are a list of { size, values }.', 'tibial')
  if (!Array.isArray(insertsMm) || !insertsMm.every((mm) => typeof mm === 'number'))
    return syntax('The inserts are a list of numbers.', 'insertsMm')
  return ok({
    procedure,
    name: typeof name === 'string' ? name.slice(0, 100) : 'Own',
    bearing: bearing === 'mobile' ? 'mobile' : 'fixed',
    femoral,
    tibial,
    insertsMm,
  })
}

function isRow(row: unknown): boolean {
  if (typeof row !== 'object' || row === null) return false
  const { size, values } = row as Readonly<Record<string, unknown>>
  return (
    typeof size === 'number' &&
    typeof values === 'object' &&
    values !== null &&
    Object.values(values).every((value) => typeof value === 'number')
  )
}

const heads = ['part', 'size', 'name', 'bearing', 'thicknessMm'] as const

function fromCsv(text: string): Result<ComponentTable> {
  const read = csvRows(text)
  if (!read.ok) return read
  const [titles, ...rows] = read.value
  if (!titles || !['part', 'size', 'thicknessMm'].every((name) => titles.includes(name)))
    return syntax('A component table has the columns part, size and thicknessMm, then its dimensions.', 'line 1')
  const dimensions = titles.filter((title) => !(heads as readonly string[]).includes(title) && title !== '')
  const procedure = dimensions.includes('distalLengthMm') ? 'medial-partial' : 'total'
  const found = { femoral: [] as TableRow[], tibial: [] as TableRow[], insertsMm: [] as number[] }
  let [name, bearing]: [string, 'fixed' | 'mobile'] = ['Own', 'fixed']
  for (const [k, row] of rows.entries()) {
    const place = `row ${k + 1}`
    const cell = (title: string) => row[titles.indexOf(title)] ?? ''
    const part = cell('part')
    if (part === 'family') {
      name = cell('name').slice(0, 100) || name
      bearing = cell('bearing') === 'mobile' ? 'mobile' : 'fixed'
    } else if (part === 'insert') {
      const mm = numberIn(cell('thicknessMm'))
      if (mm === null) return syntax('An insert has no thickness.', place)
      found.insertsMm.push(mm)
    } else if (part === 'femoral' || part === 'tibial') {
      const size = numberIn(cell('size'))
      if (size === null) return syntax('A size is no number.', place)
      const values: Record<string, number> = {}
      for (const title of dimensions) {
        if (cell(title) === '') continue
        const value = numberIn(cell(title))
        if (value === null) return syntax(`“${cell(title)}” under ${title} is no number.`, place)
        values[title] = value
      }
      found[part].push({ size, values })
    } else return syntax(`The part is family, femoral, tibial or insert; “${part}” is not.`, place)
  }
  return ok({ procedure, name, bearing, ...found })
}

function numberIn(text: string): number | null {
  const value = text === '' ? Number.NaN : Number(text)
  return Number.isFinite(value) ? value : null
}
