/** Width of a study's drawing, px. */
export const panelWidth = 760

/** Text inside an SVG. */
export const label = (text: string): string =>
  text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;')

/** Coordinates to a hundredth, without a negative zero. */
export const px = (value: number): string => String(Math.round(value * 100) / 100 || 0)

/** A number beside an axis: six digits, a true minus sign. */
export const axisNumber = (value: number): string => String(Number(value.toPrecision(6)) || 0).replace('-', '−')

/** The name of a column with its unit. */
export const columnName = ({ name, unit }: { readonly name: string; readonly unit: string }): string =>
  unit === '' ? name : `${name} [${unit === 'deg' ? '°' : unit}]`
