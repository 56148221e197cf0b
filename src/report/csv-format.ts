/** How the fields of a CSV are parted, and whether decimals have a comma; that only where it does not part fields. */
export const csvFormats = {
  comma: { separator: ',', decimal: '.' },
  semicolon: { separator: ';', decimal: '.' },
  tab: { separator: '\t', decimal: '.' },
  'semicolon-decimal-comma': { separator: ';', decimal: ',' },
} as const
export type CsvFormatName = keyof typeof csvFormats
export type CsvFormat = (typeof csvFormats)[CsvFormatName]

/** What the command line writes, and the window unless another is chosen. */
export const plainCsv: CsvFormat = csvFormats.comma
