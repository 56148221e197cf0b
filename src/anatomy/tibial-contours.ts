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
 * The posterior notch of a section (footprint of the posterior cruciate), seen in the principal axes of the section of
 * the condyles `below` it so that no frame enters: behind that centroid, within a sixth of the width to either side (smoothly, biweight),
 * the mean position across weighted by the squared depth of the contour in front of its convex hull; half a millimetre is
 * added to every depth, so that a flat back names the point straight behind the centroid. A mean over the
 * whole concavity stays where mesh, noise and level move the deepest point about. Null when the contour has no back.
 */
export function posteriorNotch(loop: readonly Flat[], below: readonly Flat[]): Flat | null {
  const { centroid: c, major: u } = principalAxes(below)
  // (forward, lateral) about the centroid; the major axis points laterally and forward is its left.
  const turned = loop.map(
    (p): Flat => [(p[0] - c[0]) * u[1] - (p[1] - c[1]) * u[0], (p[0] - c[0]) * u[0] + (p[1] - c[1]) * u[1]],
  )
  const found = meanOfNotch(turned)
  return found === null ? null : [c[0] + found[0] * u[1] + found[1] * u[0], c[1] - found[0] * u[0] + found[1] * u[1]]
}

/** The added depth of a flat back, mm. */
const flatDepthMm = 0.5

function meanOfNotch(loop: readonly Flat[]): Flat | null {
  const hull = convexHull(loop)
  const across = hull.map((p) => p[1])
  const reach = (Math.max(...across) - Math.min(...across)) / 6
  let sum = 0
  let weight = 0
  const backs = backOf(loop, reach)
  const bridges = backOf(hull, reach)
  for (let k = 0; k < steps; k++) {
    const t = (2 * (k + 0.5)) / steps - 1
    if (!Number.isFinite(backs[k]!) || !Number.isFinite(bridges[k]!)) continue
    const depth = backs[k]! - bridges[k]! + flatDepthMm
    const w = (1 - t * t) ** 2 * depth * depth
    sum += w * t * reach
    weight += w
  }
  return weight > 0 ? pointBehind(loop, sum / weight) : null
}

/** Stretches across in which the back is looked at. */
const steps = 240

/** The least x of a contour at the middle of every step across, within `reach` of z = 0; infinite where it does not reach. */
function backOf(loop: readonly Flat[], reach: number): Float64Array {
  const back = new Float64Array(steps).fill(Number.POSITIVE_INFINITY)
  const stepOf = (z: number) => Math.floor(((z / reach + 1) * steps) / 2)
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    const last = Math.min(steps - 1, stepOf(Math.max(p[1], q[1])) + 1)
    for (let k = Math.max(0, stepOf(Math.min(p[1], q[1])) - 1); k <= last; k++) {
      const z = ((2 * (k + 0.5)) / steps - 1) * reach
      if (p[1] > z === q[1] > z) continue
      back[k] = Math.min(back[k]!, p[0] + ((z - p[1]) / (q[1] - p[1])) * (q[0] - p[0]))
    }
  }
  return back
}

/** The rearmost contour point at a z; null when the contour does not reach there. */
export function pointBehind(loop: readonly Flat[], z: number): Flat | null {
  let x = Number.POSITIVE_INFINITY
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[(i + 1) % loop.length]!
    if (p[1] > z === q[1] > z) continue
    x = Math.min(x, p[0] + ((z - p[1]) / (q[1] - p[1])) * (q[0] - p[0]))
  }
  return Number.isFinite(x) ? [x, z] : null
}

/** Area centroid of a polygon and the unit direction of its largest second moment, pointing laterally (+z). */
export function principalAxes(loop: readonly Flat[]): { readonly centroid: Flat; readonly major: Flat } {
  const o = loop[0]!
  let area = 0
  let mx = 0
  let mz = 0
  let xx = 0
  let xz = 0
  let zz = 0
  for (let i = 0; i < loop.length; i++) {
    const p: Flat = [loop[i]![0] - o[0], loop[i]![1] - o[1]]
    const n = loop[(i + 1) % loop.length]!
    const q: Flat = [n[0] - o[0], n[1] - o[1]]
    const c = p[0] * q[1] - q[0] * p[1]
    area += c / 2
    mx += (c * (p[0] + q[0])) / 6
    mz += (c * (p[1] + q[1])) / 6
    xx += (c * (p[0] * p[0] + p[0] * q[0] + q[0] * q[0])) / 12
    zz += (c * (p[1] * p[1] + p[1] * q[1] + q[1] * q[1])) / 12
    xz += (c * (2 * (p[0] * p[1] + q[0] * q[1]) + p[0] * q[1] + q[0] * p[1])) / 24
  }
  const x = mx / area
  const z = mz / area
  const turn = Math.atan2(2 * (xz / area - x * z), xx / area - x * x - (zz / area - z * z)) / 2
  const major: Flat = [Math.cos(turn), Math.sin(turn)]
  return { centroid: [o[0] + x, o[1] + z], major: major[1] >= 0 ? major : [-major[0], -major[1]] }
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
