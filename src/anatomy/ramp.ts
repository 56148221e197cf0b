/** 0 below `from`, 1 above `to`, smooth between (cubic). */
export function ramp(value: number, from: number, to: number): number {
  const t = Math.max(0, Math.min(1, (value - from) / (to - from)))
  return t * t * (3 - 2 * t)
}
