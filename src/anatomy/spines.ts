import { fitPlane } from '../geometry/fit.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { add, dot, midpoint, scale, sub, type Vec3 } from '../geometry/vec.ts'
import { refineCrest } from './crest.ts'
import type { HeightField } from './height-field.ts'
import { ramp } from './ramp.ts'

/** Tips of the intercondylar eminence, limb coordinates, mm; the same point twice when there is only one. */
export interface Spines {
  readonly medial: Vec3
  readonly lateral: Vec3
  readonly count: 1 | 2
}

/**
 * A lower tip begins to count at this height over the saddle that joins it to the higher one, and counts whole from the second, mm. Between,
 * the given middle has its share, so that a shoulder that noise makes a tip, or a tip it makes a shoulder, moves little.
 */
const prominentMm = [0.1, 0.65] as const
const leastSpacingMm = 3
/** The second tip lies beside the first, not far in front or behind, and is not much lower over the plateaus. */
const mostAheadMm = 10
const leastShare = 0.4

/**
 * The spines of a tibial plateau: in the middle third of its width the highest tip, and beside it the next highest, those further in
 * front or behind, and those that hardly stand out, counting as lower; each then moved to the highest vertex about it and laid on the crest
 * of the surface within `tipMm`. Where there is one tip only, `middle` (given that tip) stands for both, and where the second hardly stands
 * out it has its share. `field` is the plateau seen from above. Null when nothing is seen there.
 */
export function findSpines(
  mesh: Mesh,
  field: HeightField,
  z: readonly [number, number],
  x: readonly [number, number],
  middle: (tip: Vec3) => Vec3 | null,
  tipMm: number,
): Spines | null {
  const peaks = peaksOf(field, z, x)
  const over = heightOverField(field)
  const first = peaks.sort((p, q) => over(q.point) - over(p.point))[0]
  if (first === undefined) return null
  const beside = (q: Peak) => over(q.point) - 0.15 * Math.abs(q.point[0] - first.point[0])
  const isBeside = (q: Peak) =>
    Math.abs(q.point[0] - first.point[0]) <= mostAheadMm && over(q.point) > leastShare * over(first.point)
  // A bump on the flank of the first is higher than the other spine, and hardly stands out.
  const worth = (q: Peak) => beside(q) * ramp(q.prominence, ...prominentMm)
  const others = peaks
    .slice(1)
    .filter(
      (q) => q.prominence > prominentMm[0] && isBeside(q) && Math.abs(q.point[2] - first.point[2]) >= leastSpacingMm,
    )
    .sort((p, q) => worth(q) - worth(p))
  const a = climb(mesh, first.point, tipMm)
  const second = firstApart(mesh, others, a, tipMm)
  const own = second ? ramp(second.prominence, ...prominentMm) : 0
  const between = own < 1 ? (middle(a) ?? a) : a
  if (second === undefined) return { medial: between, lateral: between, count: 1 }
  const [medial, lateral] = (a[2] < second.tip[2] ? [a, second.tip] : [second.tip, a]).map((tip) =>
    add(scale(tip, own), scale(between, 1 - own)),
  )
  return { medial: medial!, lateral: lateral!, count: 2 }
}

/** The first of some peaks whose tip does not turn out to be `tip` itself. */
function firstApart(
  mesh: Mesh,
  peaks: readonly Peak[],
  tip: Vec3,
  tipMm: number,
): { readonly tip: Vec3; readonly prominence: number } | undefined {
  for (const { point, prominence } of peaks) {
    const own = climb(mesh, point, tipMm)
    if (Math.abs(own[2] - tip[2]) >= leastSpacingMm / 2) return { tip: own, prominence }
  }
  return undefined
}

/** How far from the middle between the plateaus' centres spines stand, in the distance of those centres. */
const usual = { aside: 0.09, behind: 0.19, ahead: 0.035 } as const

/**
 * Why the middle between two spines can hardly be that of an eminence: it lies where on six real tibiae, whole, noisy and coarse, and on
 * thirty extreme models it never did (aside 0.06, 0.16 behind to 0.02 ahead of the plateaus' middle, in their distance). Limb coordinates, mm.
 * Null where it lies as usual.
 */
export function astray(
  { medial, lateral }: Spines,
  plateaus: { readonly medial: Vec3; readonly lateral: Vec3 },
): string | null {
  const off = sub(midpoint(medial, lateral), midpoint(plateaus.medial, plateaus.lateral))
  const apart = Math.abs(plateaus.lateral[2] - plateaus.medial[2])
  const aside = Math.abs(off[2]) > usual.aside * apart
  if (!aside && off[0] > -usual.behind * apart && off[0] < usual.ahead * apart) return null
  const [mm, way] = aside
    ? [Math.abs(off[2]), off[2] < 0 ? 'medial to' : 'lateral to']
    : [Math.abs(off[0]), off[0] < 0 ? 'behind' : 'in front of']
  return `What stands out as spines lies ${mm.toFixed(0)} mm ${way} the middle of the plateaus, farther than spines do: perhaps a bump. Look, and set it by hand.`
}

/** Height over the mean plane of a field, so that on a steep plateau the front rim is not taken for a spine. */
function heightOverField(field: HeightField): (p: Vec3) => number {
  const points: Vec3[] = []
  for (let at = 0; at < field.height.length; at += 7) {
    if (!(Math.hypot(field.slopeX[at]!, field.slopeZ[at]!) < 0.7)) continue
    points.push([
      field.lowX + (at % field.nx) * field.stepMm,
      field.height[at]!,
      field.lowZ + Math.floor(at / field.nx) * field.stepMm,
    ])
  }
  const plane = fitPlane(points)
  if (!plane.ok || Math.abs(plane.value.normal[1]) < 0.5) return (p) => p[1]
  const { point, normal } = plane.value
  return (p) => dot(sub(p, point), normal) / normal[1]
}

interface Peak {
  readonly point: Vec3
  /** Height over the saddle to a higher peak; infinite for the highest. */
  readonly prominence: number
}

/** Peaks of the field within a rectangle, by flooding downward from the top. */
function peaksOf(field: HeightField, z: readonly [number, number], x: readonly [number, number]): Peak[] {
  const { nx, stepMm, lowX, lowZ, height } = field
  const nodes: number[] = []
  for (let at = 0; at < height.length; at++) {
    const px = lowX + (at % nx) * stepMm
    const pz = lowZ + Math.floor(at / nx) * stepMm
    if (px >= x[0] && px <= x[1] && pz >= z[0] && pz <= z[1] && !Number.isNaN(height[at]!)) nodes.push(at)
  }
  nodes.sort((a, b) => height[b]! - height[a]!)
  const owner = new Int32Array(height.length).fill(-1)
  const root = (at: number): number => {
    let r = at
    while (owner[r]! !== r) r = owner[r]!
    owner[at] = r
    return r
  }
  const prominence = new Map<number, number>()
  for (const at of nodes) {
    let mine = at
    owner[at] = at
    for (const step of [-1, 1, -nx, nx, -nx - 1, -nx + 1, nx - 1, nx + 1]) {
      const n = at + step
      if (!(owner[n]! >= 0)) continue
      const r = root(n)
      if (r === mine) continue
      // The lower of two peaks that meet here ends; its prominence is what it rises over this node.
      const [higher, lower] = height[r]! >= height[mine]! ? [r, mine] : [mine, r]
      if (lower !== at) prominence.set(lower, height[lower]! - height[at]!)
      owner[lower] = higher
      mine = higher
    }
    if (mine === at) prominence.set(at, Number.POSITIVE_INFINITY)
  }
  return [...prominence]
    .map(([at, p]) => ({
      point: [lowX + (at % nx) * stepMm, height[at]!, lowZ + Math.floor(at / nx) * stepMm] as Vec3,
      prominence: p,
    }))
    .sort((a, b) => b.point[1] - a.point[1])
}

/** The highest vertex within 2 mm sideways, again from there until it stays. */
function climb(mesh: Mesh, start: Vec3, tipMm: number): Vec3 {
  const p = mesh.positions
  let at = start
  let height = Number.NEGATIVE_INFINITY
  for (let step = 0; step < 10; step++) {
    let next: Vec3 | null = null
    let best = height
    for (let i = 0; i < p.length; i += 3) {
      if (p[i + 1]! <= best) continue
      const dx = p[i]! - at[0]
      const dz = p[i + 2]! - at[2]
      if (dx * dx + dz * dz > 4) continue
      best = p[i + 1]!
      next = [p[i]!, p[i + 1]!, p[i + 2]!]
    }
    if (next === null) break
    at = next
    height = best
  }
  return refineCrest(mesh, at, { up: 1, sense: 1, radiusMm: tipMm })
}
