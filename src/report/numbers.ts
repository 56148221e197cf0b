/** Quantities that are shown; volumes come in as mm³ and go out in cm³. */
export type Quantity = 'mm' | 'deg' | 'cm3' | 'ratio' | 'N' | 'mm2' | 'MPa' | 'percent' | 'kg'

const decimalsOf: Readonly<Record<Quantity, number>> = {
  mm: 1,
  deg: 1,
  cm3: 1,
  ratio: 3,
  N: 0,
  mm2: 0,
  MPa: 1,
  percent: 0,
  kg: 1,
}
const unitOf: Readonly<Record<Quantity, string>> = {
  mm: ' mm',
  deg: '°',
  cm3: ' cm³',
  ratio: '',
  N: ' N',
  mm2: ' mm²',
  MPa: ' MPa',
  percent: ' %',
  kg: ' kg',
}

/** What stands where a number is withheld or not modelled. */
export const noNumber = '–'

/** 0.1 mm, 0.1°, 0.1 cm³, ratios to 0.001; a true minus sign, never “−0.0”; a dash where there is no number. */
export function shown(value: number | null, quantity: Quantity, signed = false): string {
  if (value === null) return noNumber
  const scaled = quantity === 'cm3' ? value / 1000 : quantity === 'percent' ? value * 100 : value
  const text = Math.abs(scaled).toFixed(decimalsOf[quantity])
  if (Number(text) === 0) return text
  return `${scaled < 0 ? '−' : signed ? '+' : ''}${text}`
}

/** The same with its unit behind it. */
export const shownWithUnit = (value: number | null, quantity: Quantity, signed = false): string =>
  value === null ? noNumber : `${shown(value, quantity, signed)}${unitOf[quantity]}`

/** Six significant digits with a point, for CSV; rounding noise below 1e-9 is 0; an empty field where there is no number. */
export function exported(value: number | null): string {
  if (value === null) return ''
  const rounded = Math.abs(value) < 1e-9 ? 0 : Number(value.toPrecision(6))
  return String(rounded === 0 ? 0 : rounded)
}
