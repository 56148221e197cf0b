import type { SagittalPoint } from './sagittal-profile.ts'

/** Points along the bone-side outline, corners and `also` included, no step longer than 2 mm. */
export function stationsAlong(corners: readonly SagittalPoint[], also: readonly SagittalPoint[]): SagittalPoint[] {
  const out: SagittalPoint[] = [corners[0]!]
  for (let i = 1; i < corners.length; i++) {
    const a = corners[i - 1]!
    const b = corners[i]!
    const span = Math.hypot(b[0] - a[0], b[1] - a[1])
    const at = (p: SagittalPoint) => ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / span
    const off = (p: SagittalPoint) => Math.abs((p[0] - a[0]) * (b[1] - a[1]) - (p[1] - a[1]) * (b[0] - a[0])) / span
    const stops = also.filter((p) => off(p) < 1e-9 && at(p) > 1e-6 && at(p) < span - 1e-6).map(at)
    const marks = [0, ...stops.sort((p, q) => p - q), span]
    for (let k = 1; k < marks.length; k++) {
      const from = marks[k - 1]!
      const n = Math.ceil((marks[k]! - from) / 2)
      for (let j = 1; j <= n; j++) {
        const t = (from + ((marks[k]! - from) * j) / n) / span
        out.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])])
      }
    }
  }
  return out
}
