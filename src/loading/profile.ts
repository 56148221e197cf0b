/**
 * Height of a bearing surface along one direction, mm, 0 at its lowest (or highest) point; +∞ where the surface has
 * ended. `flatMm` is the width of a flat in the middle; beyond `edgeAtMm` from the middle the radius becomes
 * `edgeRadiusMm`. An infinite radius is a flat.
 */
export type Profile =
  | {
      readonly kind: 'arc'
      readonly radiusMm: number
      readonly flatMm: number
      readonly edgeAtMm: number
      readonly edgeRadiusMm: number
    }
  | { readonly kind: 'table'; readonly points: readonly (readonly [atMm: number, heightMm: number])[] }

/** An arc, with a flat in its middle if asked for, that never ends before its radius does. */
export const arc = (radiusMm: number, flatMm = 0): Profile => ({
  kind: 'arc',
  radiusMm,
  flatMm,
  edgeAtMm: Number.POSITIVE_INFINITY,
  edgeRadiusMm: radiusMm,
})

/** The height function of a profile; a table is linear between its points and ends with them. */
export function heightOf(profile: Profile): (atMm: number) => number {
  if (profile.kind === 'table') return tableHeight(profile.points)
  const { radiusMm: r, flatMm, edgeAtMm, edgeRadiusMm: e } = profile
  const half = flatMm / 2
  if (!Number.isFinite(edgeAtMm)) return (at) => sagitta(r, Math.max(0, Math.abs(at) - half))
  const reach = Math.max(0, edgeAtMm - half)
  const base = sagitta(r, reach)
  const lean = Number.isFinite(r) ? Math.asin(Math.min(1, reach / r)) : 0
  return (at) => {
    const x = Math.abs(at)
    if (x <= edgeAtMm) return sagitta(r, Math.max(0, x - half))
    // The edge arc goes on along the tangent of the main one.
    const across = e * Math.sin(lean) + (x - edgeAtMm)
    return across > e ? Number.POSITIVE_INFINITY : base + e * Math.cos(lean) - Math.sqrt(e * e - across * across)
  }
}

const sagitta = (r: number, x: number): number =>
  !Number.isFinite(r) ? 0 : x > r ? Number.POSITIVE_INFINITY : (x * x) / (r + Math.sqrt(r * r - x * x))

function tableHeight(points: readonly (readonly [number, number])[]): (atMm: number) => number {
  const sorted = [...points].sort((a, b) => a[0] - b[0])
  return (at) => {
    let [low, above] = [0, sorted.length]
    while (low < above) {
      const middle = (low + above) >> 1
      if (sorted[middle]![0] >= at) above = middle
      else low = middle + 1
    }
    if (above === sorted.length) return Number.POSITIVE_INFINITY
    const [x1, z1] = sorted[above]!
    if (x1 === at) return z1
    if (above === 0) return Number.POSITIVE_INFINITY
    const [x0, z0] = sorted[above - 1]!
    return z0 + ((z1 - z0) * (at - x0)) / (x1 - x0)
  }
}
