import { shownBounded } from '../../report/bounded.ts'
import { type Quantity, shownWithUnit } from '../../report/numbers.ts'

export type { Quantity } from '../../report/numbers.ts'

/** A number with its unit, as everywhere in the program: 0.1 mm, 0.1°, 0.1 cm³; a volume comes in as mm³. */
export const formatQuantity = (
  value: number,
  quantity: Quantity,
  options: { readonly signed?: boolean } = {},
): string => shownWithUnit(value, quantity, options.signed ?? false)

/** A number with its bound and unit: “12.3 ± 0.4 cm³”. */
export const formatBounded = (value: number, quantity: Quantity, bound: number): string =>
  `${shownBounded(value, quantity, bound)} ${fieldUnit(quantity)}`

/** A bare number; a true minus sign, never "−0.0". */
export function formatNumber(value: number, decimals = 1): string {
  const text = Math.abs(value).toFixed(decimals)
  return value < 0 && Number(text) !== 0 ? `−${text}` : text
}

/** With its sign, also when positive; zero has none. */
export function formatSigned(value: number, decimals = 1): string {
  const text = formatNumber(value, decimals)
  return value > 0 && Number(text) !== 0 ? `+${text}` : text
}

/** Thousands set apart by a thin space. */
export const formatCount = (value: number): string => String(value).replace(/\B(?=(\d{3})+$)/g, '\u2009')

/** What a person types as a number: comma or point, any minus sign. null when it is none. */
export function parseNumber(text: string): number | null {
  const plain = text
    .trim()
    .replace('−', '-')
    .replace(',', '.')
    .replace(/[°a-z³²\s]+$/i, '')
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null
  return Number(plain)
}

/** The unit as it stands inside a number field. */
export const fieldUnit = (quantity: Quantity): string =>
  shownWithUnit(0, quantity)
    .replace(/^[\d.]+/, '')
    .trim()
