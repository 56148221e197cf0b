/** The one formatter for numbers on screen: 0.1 mm, 0.1°, 0.1 cm³, ratios to 0.01; a true minus sign, never "−0.0". */
export function formatNumber(value: number, decimals = 1): string {
  const text = Math.abs(value).toFixed(decimals)
  return value < 0 && Number(text) !== 0 ? `−${text}` : text
}

/** With its sign, also when positive; zero has none. */
export function formatSigned(value: number, decimals = 1): string {
  const text = formatNumber(value, decimals)
  return value > 0 && Number(text) !== 0 ? `+${text}` : text
}

export type Quantity = 'mm' | 'deg' | 'cm3' | 'ratio' | 'N' | 'mm2' | 'MPa' | 'plain'

const decimalsOf: Readonly<Record<Quantity, number>> = { mm: 1, deg: 1, cm3: 1, ratio: 2, N: 0, mm2: 0, MPa: 1, plain: 1 }
const unitOf: Readonly<Record<Quantity, string>> = {
  mm: ' mm',
  deg: '°',
  cm3: ' cm³',
  ratio: '',
  N: ' N',
  mm2: ' mm²',
  MPa: ' MPa',
  plain: '',
}

/** A volume comes in as mm³ and goes out in cm³; everything else keeps its unit. */
export function formatQuantity(value: number, quantity: Quantity, options: { readonly signed?: boolean } = {}): string {
  const shown = quantity === 'cm3' ? value / 1000 : value
  const decimals = decimalsOf[quantity]
  return `${options.signed ? formatSigned(shown, decimals) : formatNumber(shown, decimals)}${unitOf[quantity]}`
}

/** Thousands set apart by a thin space. */
export const formatCount = (value: number): string => String(value).replace(/\B(?=(\d{3})+$)/g, ' ')

/** What a person types as a number: comma or point, any minus sign. null when it is none. */
export function parseNumber(text: string): number | null {
  const plain = text.trim().replace('−', '-').replace(',', '.').replace(/[°a-z³²\s]+$/i, '')
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain)) return null
  return Number(plain)
}
