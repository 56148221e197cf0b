import type { TibiaAnatomy } from '../anatomy/terms.ts'
import type { Plane } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import type { Section } from '../geometry/section.ts'
import { add, addScaled, dot, reject, scale, sub, toRad, unit, type Vec3 } from '../geometry/vec.ts'
import type { TibialSize } from '../implants/family.ts'
import { trayPolygon } from '../implants/tray-outline.ts'
import { legAxes } from './leg-axes.ts'
import type { Coverage, PlacedTray } from './planned.ts'
import {
  type DistanceField,
  distanceField,
  distanceOutside,
  farthestInField,
  farthestOutside,
  type Outline,
  overlapArea,
  signedArea,
} from './polygon.ts'

/** The cut tibia in the tray's own plane coordinates: anterior, lateral, mm, about the foot of the knee centre. */
export interface TibialBed {
  readonly origin: Vec3
  /** Unit, out of the bone. */
  readonly normal: Vec3
  readonly anterior: Vec3
  readonly lateral: Vec3
  readonly outlines: readonly Outline[]
  /** The largest outline, and the same with few points and as a field for the search. */
  readonly main: Outline
  readonly coarse: Outline
  readonly field: DistanceField
  readonly areaMm2: number
}

/** Lays tray axes on the tibial section: anterior reference turned outward by `rotationDeg`, both brought into the plane. */
export function tibialBed(tibia: TibiaAnatomy, plane: Plane, cut: Section, rotationDeg: number): TibialBed {
  const axes = legAxes(tibia.frame, tibia.side)
  const normal = scale(plane.normal, -1)
  const turn = toRad(rotationDeg)
  const forward = add(scale(axes.anterior, Math.cos(turn)), scale(axes.lateral, Math.sin(turn)))
  // Its direction seen along the tibial axis is the one asked for, whatever the slope.
  const anterior = unit(addScaled(forward, axes.proximal, -dot(forward, normal) / dot(axes.proximal, normal)))
  const lateral = unit(reject(reject(axes.lateral, normal), anterior))
  const origin = addScaled(axes.origin, normal, dot(normal, sub(plane.point, axes.origin)))
  const outlines = cut.loops.map((loop) =>
    inStandardOrder(
      loop.map((p): readonly [number, number] => {
        const d = sub(p, origin)
        return [dot(d, anterior), dot(d, lateral)]
      }),
    ),
  )
  const main = outlines.reduce<Outline>(
    (best, o) => (Math.abs(signedArea(o)) > Math.abs(signedArea(best)) ? o : best),
    [],
  )
  const coarse = thinned(main, 64)
  return {
    origin,
    normal,
    anterior,
    lateral,
    outlines,
    main,
    coarse,
    field: distanceField(coarse, 1.5, 6),
    areaMm2: cut.areaMm2,
  }
}

/** The same outline turning one way from its most lateral point, so that a mirrored leg walks the same points. */
function inStandardOrder(outline: Outline): Outline {
  const turned = signedArea(outline) < 0 ? [...outline].reverse() : outline
  let first = 0
  turned.forEach((p, i) => {
    if (p[1] > turned[first]![1]) first = i
  })
  return [...turned.slice(first), ...turned.slice(0, first)]
}

/** Where a tray of this size lies best: anterior and lateral shift of its centre and its largest overhang there, mm. */
export interface TrayFit {
  readonly size: TibialSize
  readonly shift: readonly [number, number]
  readonly overhangMm: number
}

/**
 * Position rule: from the middle of the section's extents, shift until the outline point farthest outside (or nearest the
 * edge) is as far inside as it can be.
 */
export function fitTray(bed: TibialBed, size: TibialSize): TrayFit {
  const polygon = trayPolygon(size)
  const few = thinned(polygon, 48)
  const middleOf = (o: Outline, k: 0 | 1) => (Math.min(...o.map((p) => p[k])) + Math.max(...o.map((p) => p[k]))) / 2
  let x = middleOf(bed.coarse, 0) - middleOf(few, 0)
  let z = middleOf(bed.coarse, 1) - middleOf(few, 1)
  let worst = farthestInField(few, bed.field, x, z)
  for (let step = 2; step >= 0.25; step /= 2) {
    for (let moved = true; moved; ) {
      moved = false
      for (const [dx, dz] of [
        [step, 0],
        [-step, 0],
        [0, step],
        [0, -step],
      ] as const) {
        const there = farthestInField(few, bed.field, x + dx, z + dz)
        if (there < worst - 1e-9) {
          worst = there
          x += dx
          z += dz
          moved = true
        }
      }
    }
  }
  // Only near the edge is the exact overhang worth its time.
  const overhangMm = worst > 2 * allowedOverhangMm ? worst : Math.max(0, farthestOutside(polygon, bed.main, x, z))
  return { size, shift: [x, z], overhangMm }
}

/** The fit moved by the case's own shifts. */
export function shiftedFit(
  bed: TibialBed,
  fit: TrayFit,
  shifts: { readonly shiftAnteriorMm: number | null; readonly shiftLateralMm: number | null },
): TrayFit {
  const x = fit.shift[0] + (shifts.shiftAnteriorMm ?? 0)
  const z = fit.shift[1] + (shifts.shiftLateralMm ?? 0)
  if (x === fit.shift[0] && z === fit.shift[1]) return fit
  return {
    size: fit.size,
    shift: [x, z],
    overhangMm: Math.max(0, farthestOutside(trayPolygon(fit.size), bed.main, x, z)),
  }
}

/** Largest size whose outline nowhere overhangs by more than this. */
export const allowedOverhangMm = 1

/** The proposal (largest size that does not overhang; smallest when all do) and the runner-up beside it. */
export function proposeTray(
  bed: TibialBed,
  sizes: readonly TibialSize[],
): { readonly proposed: TrayFit; readonly runnerUp: TrayFit | null } {
  const widthMm = extent(bed.coarse, 1) + 2 * allowedOverhangMm
  let last: TrayFit | null = null
  for (let i = sizes.length - 1; i >= 0; i--) {
    const size = sizes[i]!
    // A tray wider than the bone cannot fit wherever it lies.
    if (i > 0 && size.overallMlMm > widthMm) continue
    const fit = fitTray(bed, size)
    if (fit.overhangMm <= allowedOverhangMm || i === 0) {
      const below = i > 0 ? fitTray(bed, sizes[i - 1]!) : null
      const largerIsNearer = last !== null && last.overhangMm < 2 * allowedOverhangMm
      return { proposed: fit, runnerUp: largerIsNearer ? last : (below ?? last) }
    }
    last = fit
  }
  throw new Error('A family without tibial sizes.')
}

export function placedTray(bed: TibialBed, fit: TrayFit): PlacedTray {
  const at = (x: number, z: number): Vec3 => addScaled(addScaled(bed.origin, bed.anterior, x), bed.lateral, z)
  return {
    centre: at(fit.shift[0], fit.shift[1]),
    normal: bed.normal,
    medial: scale(bed.lateral, -1),
    posterior: scale(bed.anterior, -1),
    outline: trayPolygon(fit.size).map(([x, z]) => at(x + fit.shift[0], z + fit.shift[1])),
  }
}

/** The component's frame for a placed tray: X anterior, Y proximal, Z to the subject's right. */
export function trayFrame(bed: TibialBed, fit: TrayFit, rightIsLateral: boolean): Frame {
  const { centre } = placedTray(bed, fit)
  return { origin: centre, x: bed.anterior, y: bed.normal, z: rightIsLateral ? bed.lateral : scale(bed.lateral, -1) }
}

/** Coverage, overhang and gap of a tray on its section (conventions, "Component measures"). */
export function coverageOf(bed: TibialBed, fit: TrayFit): Coverage {
  const tray = trayPolygon(fit.size).map(([x, z]): readonly [number, number] => [x + fit.shift[0], z + fit.shift[1]])
  const trayMm2 = Math.abs(signedArea(tray))
  const common = overlapArea([tray], bed.outlines)
  let gap = 0
  for (const [x, z] of bed.main) gap = Math.max(gap, distanceOutside(tray, x, z))
  return {
    sectionMm2: bed.areaMm2,
    trayMm2,
    fraction: bed.areaMm2 > 0 ? Math.min(1, common / bed.areaMm2) : 0,
    largestOverhangMm: fit.overhangMm,
    largestGapMm: gap,
  }
}

const extent = (o: Outline, k: 0 | 1): number => Math.max(...o.map((p) => p[k])) - Math.min(...o.map((p) => p[k]))

/** About `count` points of an outline, evenly along it. */
function thinned(outline: Outline, count: number): Outline {
  const spacing = outlineLength(outline) / count
  const kept: (readonly [number, number])[] = []
  let since = Number.POSITIVE_INFINITY
  let before = outline[0]
  for (const p of outline) {
    since += Math.hypot(p[0] - before![0], p[1] - before![1])
    before = p
    if (since < spacing) continue
    kept.push(p)
    since = 0
  }
  return kept
}

function outlineLength(outline: Outline): number {
  let sum = 0
  let before = outline.at(-1)
  for (const p of outline) {
    sum += Math.hypot(p[0] - before![0], p[1] - before![1])
    before = p
  }
  return sum
}
