import type { Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'
import { castRay, contour } from './truth-search.ts'
import { sectionAxes } from './truth-section.ts'

interface PlateauPlane {
  readonly point: Vec3
  readonly normal: Vec3
}

/** Depths of the two sections, mm: along the joint plane's normal, and along Y under the lower plateau point. */
const sectionMm = 3
const axesMm = 8
const rimMm = 0.5

/**
 * Footprint of the posterior cruciate, in the coordinates of g (a right tibia's frame): on the section parallel to the
 * joint line and the mean slope 3 mm below the plateau points, the weighted mean position along the section's width of
 * its back, weighted to the middle and to how far it lies in front of the hull's back; the rearmost contour point there.
 */
export function posteriorNotch(
  g: Sdf,
  plateaus: { readonly medial: PlateauPlane; readonly lateral: PlateauPlane },
): Vec3 {
  const { medial, lateral } = plateaus
  const axes = sectionAxes(g, Math.min(medial.point[1], lateral.point[1]) - axesMm)
  const heightAt = jointPlane(medial, lateral)
  const [cx, cz] = axes.centroid
  const [ux, uz] = axes.lateral
  // Across (t, lateral) and backwards (r) from the centroid, horizontal; the height follows the section's plane.
  const place = (t: number, r: number): Vec3 => {
    const x = cx + t * ux - r * uz
    const z = cz + t * uz + r * ux
    return [x, heightAt(x, z), z]
  }
  const flat: Sdf = (t, _, r) => g(...place(t, r))
  const outline = outlinePoints(flat)
  const width = spread(outline)
  const hull = hullBack(outline)
  const back = (t: number): number => {
    const from = 60
    const along = castRay(flat, [t, 0, from], [0, 0, -1], 2 * from)
    if (along === null) throw new Error('the section has no back')
    return from - along
  }
  let sum = 0
  let moment = 0
  const count = 120
  for (let i = 1; i < count; i++) {
    const share = (2 * i) / count - 1
    const t = (share * width) / 6
    const depth = hull(t) - back(t)
    const weight = (1 - share * share) ** 2 * (depth + rimMm) ** 2
    sum += weight
    moment += weight * t
  }
  const t = moment / sum
  return place(t, back(t))
}

/** Height of the section's plane over (x, z): through both plateau points along the mean of their slopes, lowered. */
function jointPlane(medial: PlateauPlane, lateral: PlateauPlane): (x: number, z: number) => number {
  const slope = ({ normal }: PlateauPlane) => Math.atan2(-normal[0], normal[1])
  const perX = Math.tan((slope(medial) + slope(lateral)) / 2)
  const [m, l] = [medial.point, lateral.point]
  const perZ = (l[1] - m[1] - perX * (l[0] - m[0])) / (l[2] - m[2])
  const lower = sectionMm * Math.sqrt(1 + perX * perX + perZ * perZ)
  return (x, z) => m[1] + perX * (x - m[0]) + perZ * (z - m[2]) - lower
}

type Point = readonly [number, number]

/** The section's outline in (t, r), every degree about its inside. */
function outlinePoints(flat: Sdf): Point[] {
  const count = 360
  return Array.from(contour(flat, 0, [0, 0], count), (radius, n) => {
    const angle = (2 * Math.PI * n) / count
    return [radius * Math.cos(angle), radius * Math.sin(angle)] as const
  })
}

/** Greatest minus least t, each through the three outline points about it. */
function spread(outline: readonly Point[]): number {
  const reach = (sign: 1 | -1) => {
    const at = outline.reduce((best, p, n) => (sign * p[0] > sign * outline[best]![0] ? n : best), 0)
    return peak(outline, at, [sign, 0])
  }
  return reach(1) + reach(-1)
}

/** How far back the outline's convex hull reaches at t. */
function hullBack(outline: readonly Point[]): (t: number) => number {
  const chain: Point[] = []
  for (const p of [...outline].sort((a, b) => a[0] - b[0])) {
    while (chain.length > 1 && !turnsForward(chain[chain.length - 2]!, chain[chain.length - 1]!, p)) chain.pop()
    chain.push(p)
  }
  return (t) => {
    const n = chain.findIndex((p) => p[0] > t)
    const [a, b] = [chain[n - 1]!, chain[n]!]
    return a[1] + ((t - a[0]) / (b[0] - a[0])) * (b[1] - a[1])
  }
}

/** Whether the way from a over b to c bends away from the back (towards smaller r). */
const turnsForward = (a: Point, b: Point, c: Point): boolean =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) < 0

const along = (p: Point, d: Point): number => p[0] * d[0] + p[1] * d[1]

/** How far the outline reaches along a direction about one of its points, by the parabola through it and its neighbours. */
function peak(outline: readonly Point[], at: number, d: Point): number {
  const n = outline.length
  const [a, b, c] = [(at + n - 1) % n, at, (at + 1) % n].map((i) => along(outline[i]!, d)) as [number, number, number]
  const bend = a - 2 * b + c
  return bend < 0 ? b - (c - a) ** 2 / (8 * bend) : b
}
