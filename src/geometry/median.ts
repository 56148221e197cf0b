/** Middle of the finite values, of two the greater; 0 where there are none. */
export function median(values: readonly number[]): number {
  const sorted = values.filter(Number.isFinite).sort((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? 0
}
