/** Round numbers that enclose low…high, about `wanted` of them; a span of nothing is widened by one. */
export function niceTicks(low: number, high: number, wanted: number): readonly number[] {
  const [from, to] = high - low > 1e-9 ? [low, high] : [low - 0.5, high + 0.5]
  const rough = (to - from) / Math.max(1, wanted)
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = [1, 2, 5, 10].map((k) => k * power).find((s) => s >= rough * 0.999)!
  const first = Math.floor(from / step + 1e-9)
  const last = Math.ceil(to / step - 1e-9)
  return Array.from({ length: last - first + 1 }, (_, k) => Number(((first + k) * step).toPrecision(12)))
}
