/**
 * How far the top of a surface stands out by its cap instead of by its one extreme vertex, which wanders with mesh and noise: pieces
 * of surface at `depth` (mm, counted inward from anywhere, the least outermost) with the `weight` of the area seen from outside. The
 * cap's floor is laid where the cap is as deep as a paraboloid's of `capMm`: its mean depth, weighed by the depth itself, is
 * two thirds of that. The top is `floor − capMm`, on a paraboloid exactly its apex. `from` is a floor to start from, `lookMm` how far below
 * the outermost piece the floor may lie. Newton's method between bounds. No pieces give a floor of infinity.
 */
export function capFloor(
  depth: Float64Array,
  weight: Float64Array,
  count: number,
  { capMm, lookMm, from }: { readonly capMm: number; readonly lookMm: number; readonly from: number },
): number {
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < count; i++) if (weight[i]! > 0 && depth[i]! < least) least = depth[i]!
  let low = least
  let high = least + lookMm
  let floor = from > low && from < high ? from : least + 1.2 * capMm
  for (let round = 0; round < 60 && count > 0; round++) {
    let zeroth = 0
    let first = 0
    let second = 0
    for (let i = 0; i < count; i++) {
      const over = floor - depth[i]!
      if (over <= 0) continue
      const w = weight[i]!
      zeroth += w
      first += w * over
      second += w * over * over
    }
    const excess = first > 0 ? second / first - (2 / 3) * capMm : -1
    if (excess > 0) high = floor
    else low = floor
    const slope = first > 0 ? 2 - (second * zeroth) / (first * first) : 0
    const newton = slope > 0.05 ? floor - excess / slope : Number.NaN
    const next = newton > low && newton < high ? newton : (low + high) / 2
    const moved = Math.abs(next - floor)
    floor = next
    if (moved < 1e-12) break
  }
  return floor
}
