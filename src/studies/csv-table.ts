import { fail, ok, type Result } from '../failure.ts'

/**
 * Rows of a CSV text (RFC 4180: quotes, doubled quotes, line ends within quotes; LF or CRLF), lines that begin with `#`
 * and empty lines left out, cells trimmed. A semicolon separates where the first line has one and no comma. An open
 * quote at the end is a failure.
 */
export function csvRows(text: string): Result<readonly (readonly string[])[]> {
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text
  const firstLine = body.split(/\r?\n/).find((line) => line.trim() !== '' && !line.startsWith('#')) ?? ''
  const separator = firstLine.includes(';') && !firstLine.includes(',') ? ';' : ','
  const rows: string[][] = []
  let row: string[] = []
  let cell = ''
  let quoted = false
  const endCell = () => {
    row.push(cell.trim())
    cell = ''
  }
  const endRow = () => {
    endCell()
    if (row.some((value) => value !== '') && !row[0]?.startsWith('#')) rows.push(row)
    row = []
  }
  for (let k = 0; k < body.length; k++) {
    const c = body[k]
    if (quoted) {
      if (c !== '"') cell += c
      else if (body[k + 1] === '"') {
        cell += '"'
        k++
      } else quoted = false
    } else if (c === '"' && cell.trim() === '') quoted = true
    else if (c === separator) endCell()
    else if (c === '\n') endRow()
    else if (c !== '\r') cell += c
  }
  if (quoted) return fail('case/syntax', 'A quote in the list is never closed.', { place: `row ${rows.length + 1}` })
  if (cell !== '' || row.length > 0) endRow()
  return ok(rows)
}
