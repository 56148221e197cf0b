/** One column of a text table. */
export interface Column {
  readonly title: string
  readonly align?: 'left' | 'right'
}

/** A table for the terminal: columns two spaces apart, a rule under the head, numbers to the right. */
export function textTable(columns: readonly Column[], rows: readonly (readonly string[])[], indent = '  '): string {
  const widths = columns.map((column, i) => Math.max(width(column.title), ...rows.map((row) => width(row[i] ?? ''))))
  const line = (cells: readonly string[]) =>
    `${indent}${cells.map((cell, i) => padded(cell, widths[i] ?? 0, columns[i]?.align ?? 'left')).join('  ')}`.trimEnd()
  const head = line(columns.map((column) => column.title))
  const rule = `${indent}${widths.map((w) => '─'.repeat(w)).join('  ')}`
  return `${[head, rule, ...rows.map(line)].join('\n')}\n`
}

/** A paragraph wrapped to the width, each line after the first indented further. */
export function wrapped(text: string, columns = 100, indent = '  ', hanging = '    '): string {
  const lines: string[] = []
  let line = indent
  for (const word of text.split(/\s+/)) {
    if (line.trim() !== '' && width(line) + 1 + width(word) > columns) {
      lines.push(line.trimEnd())
      line = hanging
    }
    line += line.trim() === '' ? word : ` ${word}`
  }
  return `${[...lines, line].join('\n')}\n`
}

/** Marks that stand over the letter before them take no room. */
const width = (text: string): number => [...text.normalize('NFC')].length

const padded = (text: string, size: number, align: 'left' | 'right'): string => {
  const room = ' '.repeat(Math.max(0, size - width(text)))
  return align === 'right' ? room + text : text + room
}
