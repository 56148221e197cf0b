/** Round numbers (1, 2 or 5 times a power of ten apart) inside `low`…`high`, about `count` of them; one where both are equal. */
export function axisTicks(low: number, high: number, count = 5): readonly number[] {
  if (!(high > low)) return [low]
  const wide = high - low
  const power = 10 ** Math.floor(Math.log10(wide / count))
  const off = (step: number) => Math.abs(wide / step - count)
  const step = [1, 2, 5, 10].map((m) => m * power).reduce((best, s) => (off(s) < off(best) ? s : best))
  const first = Math.ceil(low / step - 1e-9)
  const last = Math.floor(high / step + 1e-9)
  return Array.from({ length: last - first + 1 }, (_, k) => Number(((first + k) * step).toPrecision(12)) || 0)
}

/** Bounds with a little air; a single value gets one unit on both sides. */
export function axisBounds(values: readonly number[]): readonly [number, number] {
  const low = Math.min(...values)
  const high = Math.max(...values)
  if (values.length === 0) return [0, 1]
  const air = high > low ? 0.06 * (high - low) : 1
  return [low - air, high + air]
}
