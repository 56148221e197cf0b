import { fail, ok, type Result } from '../failure.ts'
import { checkedTable, type ProfileTable } from '../loading/own-profiles.ts'
import { csvRows } from './csv-table.ts'

/** The two directions of a surface; null where the table says nothing. */
export interface ProfilePair {
  readonly coronal: ProfileTable | null
  readonly sagittal: ProfileTable | null
}

const head = ['direction', 'at_mm', 'height_mm'] as const

/**
 * Reads a profile: a CSV with the columns `direction` (coronal or sagittal), `at_mm` and `height_mm`. Other columns,
 * other words, cells that are no numbers and tables that cannot be walked are failures that name the row.
 */
export function parseProfile(text: string): Result<ProfilePair> {
  const table = csvRows(text)
  if (!table.ok) return table
  const [titles, ...rows] = table.value
  if (!titles || head.some((name) => !titles.includes(name)) || titles.length !== head.length)
    return fail('case/syntax', 'A profile has the columns direction, at_mm and height_mm.', { place: 'line 1' })
  const column = (name: (typeof head)[number]) => titles.indexOf(name)
  const found: Record<'coronal' | 'sagittal', [number, number][]> = { coronal: [], sagittal: [] }
  for (const [k, row] of rows.entries()) {
    const direction = row[column('direction')]
    if (direction !== 'coronal' && direction !== 'sagittal')
      return fail('case/syntax', `The direction is coronal or sagittal; “${direction ?? ''}” is not.`, {
        place: `row ${k + 1}`,
      })
    const [at, height] = [row[column('at_mm')], row[column('height_mm')]].map((cell) =>
      cell === undefined || cell === '' ? Number.NaN : Number(cell),
    ) as [number, number]
    if (!Number.isFinite(at) || !Number.isFinite(height))
      return fail('case/syntax', 'A place or height of the profile is no number.', { place: `row ${k + 1}` })
    found[direction].push([at, height])
  }
  if (found.coronal.length + found.sagittal.length === 0)
    return fail('case/syntax', 'The profile holds no points.', { place: 'line 1' })
  const pair: Record<'coronal' | 'sagittal', ProfileTable | null> = { coronal: null, sagittal: null }
  for (const direction of ['coronal', 'sagittal'] as const) {
    if (found[direction].length === 0) continue
    const checked = checkedTable(found[direction], direction)
    if (!checked.ok) return checked
    pair[direction] = checked.value
  }
  return ok(pair)
}
