import type { FemurAnatomy } from '../anatomy/terms.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { Plane } from '../geometry/plane.ts'
import type { Frame } from '../geometry/rigid.ts'
import { section } from '../geometry/section.ts'
import { add, addScaled, cross, dot, scale, sub, type Vec3 } from '../geometry/vec.ts'
import type { PartialFemoralSize, PartialTibialSize } from '../implants/partial-family.ts'
import { partialTrayPolygon } from '../implants/partial-solids.ts'
import { legAxes } from './leg-axes.ts'
import type { PartialCuts } from './partial-cuts.ts'
import { allowedOverhangMm, type TibialBed } from './place-tray.ts'
import type { Coverage, PlacedTray } from './planned.ts'
import {
  distanceOutside,
  farthestOutside,
  type Outline,
  overlapArea,
  searchFarthestOutside,
  signedArea,
} from './polygon.ts'

/** A partial tray on its half of the tibial section: forward shift of its middle along the vertical cut, and how far beside (lateral of) it. */
export interface PartialTrayFit {
  readonly size: PartialTibialSize
  readonly forwardMm: number
  /** 0: its straight edge lies on the vertical cut; negative: medially of it. */
  readonly besideMm: number
  readonly overhangMm: number
}

/** The medial part of a tibial section in the tray's coordinates (anterior, lateral of the vertical cut), mm. */
export interface PartialBed {
  readonly bed: TibialBed
  /** Lateral coordinate of the vertical cut in the bed. */
  readonly edgeMm: number
  readonly outline: Outline
  readonly areaMm2: number
}

export function partialBed(bed: TibialBed, vertical: Plane): PartialBed {
  const edgeMm = dot(vertical.normal, sub(vertical.point, bed.origin)) / dot(vertical.normal, bed.lateral)
  const outline = medialOf(bed.main.map(([x, z]): readonly [number, number] => [x, z - edgeMm]))
  return { bed, edgeMm, outline, areaMm2: Math.abs(signedArea(outline)) }
}

/** Position rule: lateral edge on the vertical cut, slid along it to the least overhang. */
export function fitPartialTray(on: PartialBed, size: PartialTibialSize): PartialTrayFit {
  const polygon = partialTrayPolygon(size)
  const x = on.outline.map((p) => p[0])
  let forward = (Math.min(...x) + Math.max(...x)) / 2
  // The edge itself lies on the cut; a hair inside it is enough.
  const search = searchFarthestOutside(polygon, on.outline)
  const worstAt = (dx: number, enough = Number.POSITIVE_INFINITY) => search(dx, -1e-3, enough)
  let worst = worstAt(forward)
  for (let step = 2; step >= 0.25; step /= 2) {
    for (const direction of [step, -step]) {
      for (;;) {
        const there = worstAt(forward + direction, worst - 1e-9)
        if (!(there < worst - 1e-9)) break
        worst = there
        forward += direction
      }
    }
  }
  return { size, forwardMm: forward, besideMm: 0, overhangMm: Math.max(0, worst) }
}

/** The fit moved by the case's own shifts. */
export function shiftedPartialTray(
  on: PartialBed,
  fit: PartialTrayFit,
  shifts: { readonly shiftAnteriorMm: number | null; readonly shiftLateralMm: number | null },
): PartialTrayFit {
  const forwardMm = fit.forwardMm + (shifts.shiftAnteriorMm ?? 0)
  const besideMm = fit.besideMm + (shifts.shiftLateralMm ?? 0)
  if (forwardMm === fit.forwardMm && besideMm === fit.besideMm) return fit
  const worst = farthestOutside(partialTrayPolygon(fit.size), on.outline, forwardMm, besideMm - 1e-3)
  return { ...fit, forwardMm, besideMm, overhangMm: Math.max(0, worst) }
}

export function proposePartialTray(
  on: PartialBed,
  sizes: readonly PartialTibialSize[],
): { readonly proposed: PartialTrayFit; readonly runnerUp: PartialTrayFit | null } {
  const x = on.outline.map((p) => p[0])
  const lengthMm = Math.max(...x) - Math.min(...x) + 2 * allowedOverhangMm
  const fitOf = (i: number) => (sizes[i] ? fitPartialTray(on, sizes[i]) : null)
  for (let i = sizes.length - 1; i >= 0; i--) {
    // A tray longer than the bone cannot fit wherever it lies.
    if (i > 0 && sizes[i]!.overallApMm > lengthMm) continue
    const proposed = fitPartialTray(on, sizes[i]!)
    if (proposed.overhangMm <= allowedOverhangMm || i === 0) return { proposed, runnerUp: fitOf(i + 1) ?? fitOf(i - 1) }
  }
  throw new Error('A family without tibial sizes.')
}

export function partialTrayFrame(on: PartialBed, fit: PartialTrayFit, rightIsLateral: boolean): Frame {
  const { bed, edgeMm } = on
  return {
    origin: addScaled(addScaled(bed.origin, bed.anterior, fit.forwardMm), bed.lateral, edgeMm + fit.besideMm),
    x: bed.anterior,
    y: bed.normal,
    z: rightIsLateral ? bed.lateral : scale(bed.lateral, -1),
  }
}

export function placedPartialTray(on: PartialBed, fit: PartialTrayFit): PlacedTray {
  const { bed, edgeMm } = on
  const at = (x: number, z: number): Vec3 => addScaled(addScaled(bed.origin, bed.anterior, x), bed.lateral, z)
  const edge = edgeMm + fit.besideMm
  return {
    centre: at(fit.forwardMm, edge - fit.size.overallMlMm / 2),
    normal: bed.normal,
    medial: scale(bed.lateral, -1),
    posterior: scale(bed.anterior, -1),
    outline: partialTrayPolygon(fit.size).map(([x, z]) => at(x + fit.forwardMm, z + edge)),
  }
}

export function partialCoverage(on: PartialBed, fit: PartialTrayFit): Coverage {
  const tray = partialTrayPolygon(fit.size).map(([x, z]): readonly [number, number] => [
    x + fit.forwardMm,
    z + fit.besideMm,
  ])
  let gap = 0
  for (const [x, z] of on.outline) gap = Math.max(gap, distanceOutside(tray, x, z))
  return {
    sectionMm2: on.areaMm2,
    trayMm2: Math.abs(signedArea(tray)),
    fraction: on.areaMm2 > 0 ? Math.min(1, overlapArea([tray], [on.outline]) / on.areaMm2) : 0,
    largestOverhangMm: fit.overhangMm,
    largestGapMm: gap,
  }
}

/** The femoral component's own frame, its bone-side planes in cutting order, and its size. */
export interface PartialFemoralPlace {
  readonly size: PartialFemoralSize
  readonly frame: Frame
  readonly chamfer: Plane
}

/** Position rule: crest over the medial distal site, the lateral edge kept medial of the notch plane. */
export function placePartialFemoral(
  cuts: PartialCuts,
  size: PartialFemoralSize,
  notch: Plane,
  shiftRightMm: number,
): PartialFemoralPlace {
  const y = cuts.distal.normal
  const x = cuts.posterior.normal
  const z = cross(x, y)
  const site = cuts.sites.find((s) => s.id === 'femur-distal-medial')
  const over = site ? site.point : cuts.distal.point
  const room = dot(notch.normal, sub(over, notch.point)) - size.overallMlMm / 2
  const medially = dot(z, notch.normal) > 0 ? 1 : -1
  const across = dot(z, over) + (room < 0 ? -room * medially : 0) + shiftRightMm
  const origin = add(add(scale(y, dot(y, cuts.distal.point)), scale(x, dot(x, cuts.posterior.point))), scale(z, across))
  const c = size.posteriorChamferMm
  return {
    size,
    frame: { origin, x, y, z },
    chamfer: {
      point: addScaled(origin, x, c),
      normal: add(scale(x, Math.SQRT1_2), scale(y, Math.SQRT1_2)),
    },
  }
}

/** How far forward of the posterior plane the distal section reaches on the line over the medial distal site, mm. */
export function distalReachMm(bone: BoneMesh, cuts: PartialCuts): number {
  const site = cuts.sites.find((s) => s.id === 'femur-distal-medial')
  const sideways = cross(cuts.posterior.normal, cuts.distal.normal)
  const z = dot(sideways, site ? site.point : cuts.distal.point)
  let reach = 0
  for (const loop of section(bone.tree, cuts.distal).loops) {
    for (const p of loop) {
      if (Math.abs(dot(sideways, p) - z) > 4) continue
      reach = Math.max(reach, dot(cuts.posterior.normal, sub(p, cuts.posterior.point)))
    }
  }
  return reach
}

/** Limits the femoral cuts laterally: through the knee centre (notch), its positive side medial. */
export function notchPlane(femur: FemurAnatomy): Plane {
  const { origin, lateral } = legAxes(femur.frame, femur.side)
  return { point: origin, normal: scale(lateral, -1) }
}

/** The part of an outline with second coordinate below 0 (Sutherland and Hodgman, Comm ACM 1974). */
function medialOf(outline: Outline): Outline {
  const out: (readonly [number, number])[] = []
  let a = outline.at(-1)
  if (a === undefined) return out
  for (const b of outline) {
    if (a[1] <= 0 !== b[1] <= 0) {
      const t = a[1] / (a[1] - b[1])
      out.push([a[0] + t * (b[0] - a[0]), 0])
    }
    if (b[1] <= 0) out.push(b)
    a = b
  }
  return out
}
