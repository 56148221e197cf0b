import { type Frame, intoFrame, mapPoint } from '../src/geometry/rigid.ts'
import { cross, dot, toRad, type Vec3 } from '../src/geometry/vec.ts'
import type { TibiaShape } from './tibia-shape.ts'
import { planeThrough, type Sample } from './truth-fit.ts'
import { dropped, type Patch, type SurfaceGrid } from './truth-patch.ts'
import { contour, inFrame } from './truth-search.ts'
import { sectionAxes } from './truth-section.ts'

/** Depth of the outline below the lower plateau point, mm. */
const outlineMm = 8
/** Where a place begins to count, and counts whole: inside the outline and away from its middle, in widths. */
const inset = [0.05, 0.12] as const
const fromMiddle = [0.13, 0.21] as const
/** Lean of 50°, from which a place does not count, and of 25°, up to which it counts whole, as cosines. */
const upright = [Math.cos(toRad(50)), Math.cos(toRad(25))] as const

/**
 * The load-bearing patches of DEVELOPERS.md on the function itself: seen surface weighed by how far it lies inside the
 * outline 8 mm below the lower plateau point, by how far from the outline's middle across, and by its lean against the patch plane;
 * the plane by area, all of it iterated until it stays.
 */
export function plateauPatches(
  shape: TibiaShape,
  top: SurfaceGrid,
  frame: Frame,
): { readonly medial: Patch; readonly lateral: Patch } {
  const into = intoFrame(frame)
  const g = inFrame(shape.sdf, frame)
  const cells = top.cells.filter((c): c is Sample => c !== null)
  const places = cells.map((c) => mapPoint(into, c.point))
  let level = -16 * shape.sizeFactor
  for (let pass = 0; pass < 12; pass++) {
    const count = outlineIn(g, level)
    const side = (sign: 1 | -1): Patch => {
      const samples = cells.flatMap((c, n) => {
        const weight = count(places[n]!, sign)
        return weight > 0 ? [{ ...c, weight: c.weight * weight }] : []
      })
      return settled(samples, frame.y)
    }
    const patches = { medial: side(-1), lateral: side(1) }
    const height = (p: Patch) => mapPoint(into, dropped(shape.sdf, p.centroid, frame.y))[1]
    const next = Math.min(height(patches.medial), height(patches.lateral)) - outlineMm
    const moved = Math.abs(next - level)
    level = next
    if (moved < 1e-4) return patches
  }
  throw new Error('the outline of the plateaus did not settle')
}

/** How much a place counts for the plateau on one side (+1 lateral) by where it lies in the section at a height; 0…1. */
function outlineIn(g: ReturnType<typeof inFrame>, level: number): (p: Vec3, sign: 1 | -1) => number {
  const { centroid, lateral } = sectionAxes(g, level)
  const count = 180
  const outline = Array.from(contour(g, level, centroid, count), (radius, n): [number, number] => {
    const angle = (2 * Math.PI * n) / count
    return [radius * Math.cos(angle), radius * Math.sin(angle)]
  })
  const segments = segmentsOf(outline)
  const across = outline.map(([x, z]) => x * lateral[0] + z * lateral[1])
  const width = Math.max(...across) - Math.min(...across)
  return (p, sign) => {
    const [x, z] = [p[0] - centroid[0], p[2] - centroid[1]]
    const away = sign * (x * lateral[0] + z * lateral[1])
    const middle = soft(away / width, fromMiddle)
    if (middle === 0) return 0
    // The section is a star about its centroid: what lies beyond the border of its direction lies outside.
    const turn = (Math.atan2(z, x) / (2 * Math.PI) + 1) * count
    const border = Math.hypot(...outline[Math.round(turn) % count]!)
    if (Math.hypot(x, z) > border + 1) return 0
    return middle * soft(Math.sqrt(nearestSquared(segments, x, z, Math.floor(turn))) / width, inset)
  }
}

/** Segments of a closed outline one after another: start (2), run (2), one over the run's square. */
function segmentsOf(outline: readonly (readonly [number, number])[]): Float64Array {
  const list = outline.flatMap(([x, z], n) => {
    const next = outline[(n + 1) % outline.length]!
    const [u, v] = [next[0] - x, next[1] - z]
    return [x, z, u, v, 1 / (u * u + v * v)]
  })
  return new Float64Array(list)
}

/**
 * Squared distance to an outline about the origin that is a star of even angles, from the segment in the place's own
 * direction to both sides: what lies an angle away lies no nearer than the ray that bounds it.
 */
function nearestSquared(segments: Float64Array, x: number, z: number, own: number): number {
  const count = segments.length / 5
  const radiusSquared = x * x + z * z
  let nearest = Number.POSITIVE_INFINITY
  for (let away = 0; 2 * away <= count; away++) {
    const turn = (2 * Math.PI * Math.max(0, away - 1)) / count
    const bound = turn < Math.PI / 2 ? radiusSquared * Math.sin(turn) ** 2 : radiusSquared
    if (bound >= nearest) break
    nearest = Math.min(
      nearest,
      segmentSquared(segments, 5 * ((own + away) % count), x, z),
      segmentSquared(segments, 5 * ((own - away + count) % count), x, z),
    )
  }
  return nearest
}

function segmentSquared(segments: Float64Array, k: number, x: number, z: number): number {
  const dx = x - segments[k]!
  const dz = z - segments[k + 1]!
  const u = segments[k + 2]!
  const v = segments[k + 3]!
  const t = Math.max(0, Math.min(1, (dx * u + dz * v) * segments[k + 4]!))
  const ex = dx - t * u
  const ez = dz - t * v
  return ex * ex + ez * ez
}

/** The plane of samples whose weights fall with their lean against it. */
function settled(samples: readonly Sample[], start: Vec3): Patch {
  let normal = start
  const leaning = new Float64Array(samples.length)
  for (let pass = 0; pass < 100; pass++) {
    for (let n = 0; n < samples.length; n++) leaning[n] = soft(dot(samples[n]!.normal, normal), upright)
    const fit = planeThrough(samples, normal, leaning)
    const turned = Math.hypot(...cross(fit.normal, normal))
    normal = fit.normal
    if (turned < 1e-8) return { centroid: fit.centroid, normal, areaMm2: fit.weight, rmsMm: fit.rms }
  }
  throw new Error('the plane of a plateau did not settle')
}

/** 0 at the first limit, 1 at the second, the cubic 3t² − 2t³ between. */
function soft(value: number, [from, to]: readonly [number, number]): number {
  const t = Math.min(1, Math.max(0, (value - from) / (to - from)))
  return t * t * (3 - 2 * t)
}
