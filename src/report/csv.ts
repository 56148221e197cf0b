import { caution, programVersion } from '../casefile/program.ts'
import type { Findings } from '../findings.ts'
import type { Assumption } from '../planning/planned.ts'
import { type CsvFormat, plainCsv } from './csv-format.ts'
import { exported } from './numbers.ts'

export type Cell = string | number | boolean | null

/**
 * A CSV file (RFC 4180 but for LF): UTF-8, commas and point decimals unless another format is given, six significant
 * digits; version, caution and assumptions stand before the
 * table in lines that begin with `#`. No time stamp and no path, so equal inputs give equal bytes.
 */
export function csvText(
  head: readonly string[],
  columns: readonly string[],
  rows: readonly (readonly Cell[])[],
  format: CsvFormat = plainCsv,
): string {
  const lines = [`Floorline ${programVersion}`, caution, ...head].map((line) => `# ${line.replace(/\s+/g, ' ')}`)
  const table = [columns, ...rows].map((row) => row.map((cell) => field(cell, format)).join(format.separator))
  return `${[...lines, ...table].join('\n')}\n`
}

/** Assumptions as lines for the head of a CSV. */
export const assumptionLines = (assumptions: readonly Assumption[]): string[] =>
  assumptions.map(({ what, value, basis }) => `assumption: ${what}: ${value} (${basis})`)

/** The six sites, one row each, with an empty column for what was measured on the piece. */
export function sitesCsv(findings: Findings, format: CsvFormat = plainCsv): string {
  const columns = [
    'site',
    'x_mm',
    'y_mm',
    'z_mm',
    'distance_mm',
    'cartilage_mm',
    'worn_mm',
    'kerf_mm',
    'piece_mm',
    'total_mm',
    'component_mm',
    'difference_mm',
    'within',
    'measured_mm',
  ]
  const rows = findings.sites.map((site) => [
    site.id,
    ...site.point,
    site.distanceMm,
    site.cartilageMm,
    site.wornMm,
    site.kerfMm,
    site.pieceMm,
    site.totalMm,
    site.componentMm,
    site.differenceMm,
    site.within,
    null,
  ])
  const head = [
    `side: ${findings.side} (${findings.sideSource}); procedure: ${findings.procedure}; recipe: ${findings.recipe}`,
    'points in the patient frame of their own bone',
    ...assumptionLines(findings.assumptions),
  ]
  return csvText(head, columns, rows, format)
}

function field(cell: Cell, { separator, decimal }: CsvFormat): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return exported(cell).replace('.', decimal)
  const text = String(cell)
  // A leading sign or equals sign would be run as a formula by spreadsheets.
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text
  return /["\n\r]/.test(safe) || safe.includes(separator) ? `"${safe.replaceAll('"', '""')}"` : safe
}
