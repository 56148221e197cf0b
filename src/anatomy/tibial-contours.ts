import type { Vec3 } from '../geometry/vec.ts'

/** A point of a cross-section: x anterior, z lateral, mm. */
export type Flat = readonly [x: number, z: number]

/** The loop with the largest area, of a section in limb coordinates; null when there is none. */
export function largestLoop(loops: readonly (readonly Flat[])[]): readonly Flat[] | null {
  let best: readonly Flat[] | null = null
  let most = 0
  for (const loop of loops) {
    const size = Math.abs(signedArea(loop))
    if (size > most) {
      most = size
      best = loop
    }
  }
  return best
}

function signedArea(loop: readonly Flat[]): number {
  let twice = 0
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!
    const b = loop[(i + 1) % loop.length]!
    twice += a[0] * b[1] - b[0] * a[1]
  }
  return twice / 2
}

/**
 * The point of the posterior concavity of a section that lies farthest from the hull edge bridging it (the footprint of
 * the posterior cruciate). The crest of the depth is a parabola through the contour about its deepest point, so that
 * the mesh's spacing does not show. Null when nothing behind is concave.
 */
export function posteriorConcavity(loop: readonly Flat[]): { readonly point: Flat; readonly depthMm: number } | null {
  const hull = convexHull(loop)
  let best: { a: Flat; out: Flat; along: Flat; width: number; depth: number; at: Flat } | null = null
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!
    const b = hull[(i + 1) % hull.length]!
    const width = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (!(width > 1)) continue
    const along: Flat = [(b[0] - a[0]) / width, (b[1] - a[1]) / width]
    // The hull runs so that this normal points outward.
    const out: Flat = [along[1], -along[0]]
    if (out[0] > -0.6) continue
    for (const p of loop) {
      const t = (p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]
      const depth = -((p[0] - a[0]) * out[0] + (p[1] - a[1]) * out[1])
      if (t < 0 || t > width || depth > width) continue
      if (best === null || depth > best.depth) best = { a, out, along, width, depth, at: p }
    }
  }
  if (best === null || !(best.depth > 0)) return null
  const { a, out, along, at } = best
  const crest = crestOfDepth(loop, best)
  if (crest === null) return { point: at, depthMm: best.depth }
  const [t, depth] = crest
  return {
    point: [a[0] + t * along[0] - depth * out[0], a[1] + t * along[1] - depth * out[1]],
    depthMm: depth,
  }
}

/** Vertex of the parabola depth(t) through the contour within a smooth window about the deepest point. */
function crestOfDepth(
  loop: readonly Flat[],
  pocket: { readonly a: Flat; readonly out: Flat; readonly along: Flat; readonly width: number; readonly at: Flat },
): readonly [number, number] | null {
  const { a, out, along, at } = pocket
  const half = Math.min(4, pocket.width / 4)
  let centre = (at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]
  let result: readonly [number, number] | null = null
  for (let round = 0; round < 50; round++) {
    const fit = parabola(loop, centre, half, a, out, along)
    if (fit === null) return result
    const [shift, depth] = fit
    result = [centre + shift, depth]
    if (Math.abs(shift) < 1e-12) break
    centre += Math.max(-half / 2, Math.min(half / 2, shift))
  }
  return result
}

/** Weighted parabola through the contour's length within `half` of t = centre: [vertex − centre, depth there]. */
function parabola(
  loop: readonly Flat[],
  centre: number,
  half: number,
  a: Flat,
  out: Flat,
  along: Flat,
): readonly [number, number] | null {
  const s = new Float64Array(5)
  const r = new Float64Array(3)
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    const t0 = (p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1] - centre
    const t1 = (q[0] - a[0]) * along[0] + (q[1] - a[1]) * along[1] - centre
    if ((t0 > half && t1 > half) || (t0 < -half && t1 < -half)) continue
    const d0 = -((p[0] - a[0]) * out[0] + (p[1] - a[1]) * out[1])
    const d1 = -((q[0] - a[0]) * out[0] + (q[1] - a[1]) * out[1])
    if (d0 > pocketLimit || d1 > pocketLimit) continue
    const pieces = Math.max(1, Math.ceil(Math.abs(t1 - t0) / 0.1))
    for (let k = 0; k < pieces; k++) {
      const f = (k + 0.5) / pieces
      const t = t0 + f * (t1 - t0)
      const u = t / half
      if (!(u > -1 && u < 1)) continue
      const w = ((1 - u * u) ** 2 * Math.abs(t1 - t0)) / pieces
      const d = d0 + f * (d1 - d0)
      for (let m = 0; m < 5; m++) s[m]! += w * u ** m
      for (let m = 0; m < 3; m++) r[m]! += w * d * u ** m
    }
  }
  const c = solve3(s, r)
  if (c === null || !(c[2] < -1e-9)) return null
  const u = -c[1] / (2 * c[2])
  return [u * half, c[0] + c[1] * u + c[2] * u * u]
}

/** The far side of the contour lies deeper than any concavity, mm. */
const pocketLimit = 20

function solve3(s: Float64Array, r: Float64Array): Vec3 | null {
  const [s0, s1, s2, s3, s4] = s as unknown as [number, number, number, number, number]
  const det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s3 * s2) + s2 * (s1 * s3 - s2 * s2)
  if (!(Math.abs(det) > 1e-12)) return null
  const [a, b, c] = r as unknown as [number, number, number]
  return [
    (a * (s2 * s4 - s3 * s3) - s1 * (b * s4 - s3 * c) + s2 * (b * s3 - s2 * c)) / det,
    (s0 * (b * s4 - s3 * c) - a * (s1 * s4 - s3 * s2) + s2 * (s1 * c - b * s2)) / det,
    (s0 * (s2 * c - b * s3) - s1 * (s1 * c - b * s2) + a * (s1 * s3 - s2 * s2)) / det,
  ]
}

/**
 * The front point of a section at the medial third of the tubercle: one third from the medial end of the part of the
 * contour ahead of x = frontX − 5 mm. Null when the section does not reach that far.
 */
export function medialThirdOfFront(loop: readonly Flat[], front: Flat): Flat | null {
  const level = front[0] - 5
  let medial = Number.NEGATIVE_INFINITY
  let lateral = Number.POSITIVE_INFINITY
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    if (p[0] > level === q[0] > level) continue
    const z = p[1] + ((level - p[0]) / (q[0] - p[0])) * (q[1] - p[1])
    // The piece that holds the front point ends at the nearest crossing on each side of it.
    if (z <= front[1] && z > medial) medial = z
    if (z >= front[1] && z < lateral) lateral = z
  }
  if (!Number.isFinite(medial) || !Number.isFinite(lateral)) return null
  const z = medial + (lateral - medial) / 3
  let x = Number.NEGATIVE_INFINITY
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    if (p[1] > z === q[1] > z) continue
    x = Math.max(x, p[0] + ((z - p[1]) / (q[1] - p[1])) * (q[0] - p[0]))
  }
  return Number.isFinite(x) ? [x, z] : null
}

/** Convex hull, counter-clockwise in (x, z) (Andrew, Inf Process Lett 1979). */
export function convexHull(points: readonly Flat[]): Flat[] {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1])
  const half = (list: readonly Flat[]): Flat[] => {
    const chain: Flat[] = []
    for (const p of list) {
      while (chain.length >= 2 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, p) <= 0) chain.pop()
      chain.push(p)
    }
    chain.pop()
    return chain
  }
  return [...half(sorted), ...half(sorted.reverse())]
}

const turn = (a: Flat, b: Flat, c: Flat): number => (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
