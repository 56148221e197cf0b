import type { LegTruth } from '../../demo-models/leg.ts'
import { fitPlane } from '../../src/geometry/fit.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { intoFrame, mapPoint, mapVector } from '../../src/geometry/rigid.ts'
import { addScaled, cross, dot, length, midpoint, scale, sub, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'

/** A plateau patch and a notch read off the triangles of a fine mesh by the definitions alone, in the tibia's true frame. */

interface Face {
  readonly centre: Vec3
  readonly normal: Vec3
  readonly area: number
}

const ownVertices = (mesh: Mesh, truth: LegTruth): Vec3[] => {
  const into = intoFrame(truth.tibia.frame)
  const p = mesh.positions
  return Array.from({ length: p.length / 3 }, (_, v) => mapPoint(into, [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]))
}

/**
 * Normal of the patch plane and area centroid: faces weighed by the distance of their centres inside the section 8 mm below the lower
 * plateau point, from its middle across, and by their lean against the plane.
 */
export function patchByTriangles(
  mesh: Mesh,
  truth: LegTruth,
  side: 'medial' | 'lateral',
): { normal: Vec3; centroid: Vec3 } {
  const into = intoFrame(truth.tibia.frame)
  const at = ownVertices(mesh, truth)
  const level = Math.min(...[truth.tibia.medial, truth.tibia.lateral].map(({ point }) => mapPoint(into, point)[1])) - 8
  const outline = sectionSegments(mesh, at, [0, 1, 0], level)
  const { c, u } = principalAxes(outline)
  const across = outline.map(([p]) => p[0] * u[0] + p[1] * u[1])
  const width = across.reduce((a, b) => Math.max(a, b)) - across.reduce((a, b) => Math.min(a, b))
  const outwards = (truth.side === 'right' ? 1 : -1) * (side === 'medial' ? -1 : 1) * (u[1] > 0 ? 1 : -1)
  const weighed = facesOf(mesh, at)
    .filter(({ centre, normal }) => centre[1] > level && normal[1] > 0.3)
    .map((face) => {
      const [x, z] = [face.centre[0], face.centre[2]]
      const away = (outwards * ((x - c[0]) * u[0] + (z - c[1]) * u[1])) / width
      const inside = outline.reduce((least, segment) => Math.min(least, toSegment([x, z], segment)), 99) / width
      // What is seen from above beyond the section is its own distance outside of it, and nothing there faces up.
      const middle = Math.hypot(x - c[0], z - c[1]) < width ? rising(away, 0.13, 0.21) * rising(inside, 0.05, 0.12) : 0
      return { face, weight: middle * face.area }
    })
    .filter(({ weight }) => weight > 0)
  let normal: Vec3 = [0, 1, 0]
  let weights: number[] = []
  for (let pass = 0; pass < 60; pass++) {
    weights = weighed.map(({ face, weight }) => {
      const lean = dot(face.normal, normal)
      return weight * rising(lean, Math.cos(toRad(50)), Math.cos(toRad(25)))
    })
    const fit = expectOk(
      fitPlane(
        weighed.map(({ face }) => face.centre),
        weights,
      ),
    )
    const next = fit.normal[1] > 0 ? fit.normal : scale(fit.normal, -1)
    const turned = length(sub(next, normal))
    normal = next
    if (turned < 1e-9) break
  }
  const sum = weights.reduce((a, b) => a + b, 0)
  const centroid = weighed.reduce((at, { face }, n) => addScaled(at, face.centre, weights[n]! / sum), [0, 0, 0] as Vec3)
  return { normal, centroid }
}

/** 3t² − 2t³ of the share of the way from one limit to the other. */
const rising = (value: number, from: number, to: number): number => {
  const t = Math.min(1, Math.max(0, (value - from) / (to - from)))
  return 3 * t ** 2 - 2 * t ** 3
}

function toSegment(p: Flat, [a, b]: Segment): number {
  const [ex, ez] = [b[0] - a[0], b[1] - a[1]]
  const t = Math.min(1, Math.max(0, ((p[0] - a[0]) * ex + (p[1] - a[1]) * ez) / (ex * ex + ez * ez || 1)))
  return Math.hypot(p[0] - a[0] - t * ex, p[1] - a[1] - t * ez)
}

function facesOf({ triangles: t }: Mesh, at: readonly Vec3[]): Face[] {
  return Array.from({ length: t.length / 3 }, (_, k) => {
    const corners = [t[3 * k]!, t[3 * k + 1]!, t[3 * k + 2]!] as const
    const [a, b, c] = [at[corners[0]]!, at[corners[1]]!, at[corners[2]]!]
    const x = cross(sub(b, a), sub(c, a))
    return { centre: addScaled(scale(c, 1 / 3), midpoint(a, b), 2 / 3), normal: unit(x), area: length(x) / 2 }
  })
}

type Flat = readonly [number, number]
type Segment = readonly [Flat, Flat]

/**
 * The posterior notch on the triangles, in the tibia's true frame, from given plateau points and normals: both sections
 * as loose segments (area moments by Green's theorem, hull by turning a line, back by crossing the segments).
 */
export function notchByTriangles(mesh: Mesh, truth: LegTruth): Vec3 {
  const into = intoFrame(truth.tibia.frame)
  const s = truth.side === 'right' ? 1 : -1
  const [medial, lateral] = [truth.tibia.medial, truth.tibia.lateral].map(({ point, normal }) => ({
    point: mapPoint(into, point),
    normal: mapVector(into, normal),
  })) as [{ point: Vec3; normal: Vec3 }, { point: Vec3; normal: Vec3 }]
  const at = ownVertices(mesh, truth)

  const axes = principalAxes(sectionSegments(mesh, at, [0, 1, 0], Math.min(medial.point[1], lateral.point[1]) - 8))
  const u: Flat = axes.u[1] * s > 0 ? axes.u : [-axes.u[0], -axes.u[1]]
  const backwards: Flat = s > 0 ? [-u[1], u[0]] : [u[1], -u[0]]

  const slope = (p: { normal: Vec3 }) => Math.atan(-p.normal[0] / p.normal[1])
  const mean = (slope(medial) + slope(lateral)) / 2
  const across = cross([Math.cos(mean), Math.sin(mean), 0], sub(lateral.point, medial.point))
  const normal = scale(unit(across), across[1] > 0 ? 1 : -1)
  const segments = sectionSegments(mesh, at, normal, dot(medial.point, normal) - 3).map(
    ([p, q]) => [turned(p), turned(q)] as const,
  )
  function turned([x, z]: Flat): Flat {
    const [dx, dz] = [x - axes.c[0], z - axes.c[1]]
    return [dx * u[0] + dz * u[1], dx * backwards[0] + dz * backwards[1]]
  }
  const ts = segments.map(([p]) => p[0])
  const width = ts.reduce((a, b) => Math.max(a, b)) - ts.reduce((a, b) => Math.min(a, b))
  const back = (t: number): number =>
    segments.reduce((best, [p, q]) => {
      if (p[0] < t === q[0] < t) return best
      return Math.max(best, p[1] + ((t - p[0]) / (q[0] - p[0])) * (q[1] - p[1]))
    }, Number.NEGATIVE_INFINITY)
  const hull = hullBack(segments.map(([p]) => p))
  let [sum, moment] = [0, 0]
  for (let t = -width / 6; t < width / 6; t += 0.2) {
    const weight = (1 - ((6 * t) / width) ** 2) ** 2 * (hull(t) - back(t) + 0.5) ** 2
    sum += weight
    moment += weight * t
  }
  const t = moment / sum
  const r = back(t)
  const [x, z] = [axes.c[0] + t * u[0] + r * backwards[0], axes.c[1] + t * u[1] + r * backwards[1]]
  const y = (dot(medial.point, normal) - 3 - x * normal[0] - z * normal[2]) / normal[1]
  return [x, y, z]
}

/** Section of the triangles as segments in (x, z), each with the bone on the same hand. */
function sectionSegments({ triangles: tri }: Mesh, at: readonly Vec3[], normal: Vec3, level: number): Segment[] {
  const out: Segment[] = []
  for (let i = 0; i < tri.length; i += 3) {
    const corners = [at[tri[i]!]!, at[tri[i + 1]!]!, at[tri[i + 2]!]!]
    const h = corners.map((p) => dot(p, normal) - level)
    let [from, to]: [Flat | null, Flat | null] = [null, null]
    for (let e = 0; e < 3; e++) {
      const [a, b] = [h[e]!, h[(e + 1) % 3]!]
      if (a < 0 === b < 0) continue
      const f = a / (a - b)
      const [p, q] = [corners[e]!, corners[(e + 1) % 3]!]
      const cut: Flat = [p[0] + f * (q[0] - p[0]), p[2] + f * (q[2] - p[2])]
      if (a < 0) from = cut
      else to = cut
    }
    if (from && to) out.push([from, to])
  }
  return out
}

function principalAxes(segments: readonly Segment[]): { c: Flat; u: Flat } {
  let [area, mx, mz, xx, xz, zz] = [0, 0, 0, 0, 0, 0]
  for (const [[x0, z0], [x1, z1]] of segments) {
    const k = x0 * z1 - x1 * z0
    area += k / 2
    mx += (k * (x0 + x1)) / 6
    mz += (k * (z0 + z1)) / 6
    xx += (k * (x0 * x0 + x0 * x1 + x1 * x1)) / 12
    zz += (k * (z0 * z0 + z0 * z1 + z1 * z1)) / 12
    xz += (k * (2 * x0 * z0 + x0 * z1 + x1 * z0 + 2 * x1 * z1)) / 24
  }
  const c: Flat = [mx / area, mz / area]
  const [a, b, d] = [xx / area - c[0] * c[0], xz / area - c[0] * c[1], zz / area - c[1] * c[1]]
  const largest = (a + d) / 2 + Math.hypot((a - d) / 2, b)
  const k = Math.hypot(b, largest - a)
  return { c, u: [b / k, (largest - a) / k] }
}

/** How far back the convex hull of the points (t, backwards) reaches at t: the lowest there of all lines above the points. */
function hullBack(points: readonly Flat[]): (t: number) => number {
  const level = (t: number, slope: number) =>
    points.reduce((most, p) => Math.max(most, p[1] - slope * (p[0] - t)), Number.NEGATIVE_INFINITY)
  return (t) => {
    let [low, high] = [-2, 2]
    for (let pass = 0; pass < 40; pass++) {
      const [a, b] = [low + (high - low) / 3, high - (high - low) / 3]
      if (level(t, a) < level(t, b)) high = b
      else low = a
    }
    return level(t, (low + high) / 2)
  }
}
