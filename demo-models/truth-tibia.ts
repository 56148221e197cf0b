import {
  type Frame,
  frameFromLongAndAnterior,
  intoFrame,
  mapPoint,
  mapVector,
  outOfFrame,
} from '../src/geometry/rigid.ts'
import { dot, midpoint, scale, sub, toDeg, type Vec3 } from '../src/geometry/vec.ts'
import type { Sdf } from './sdf.ts'
import type { TibiaShape } from './tibia-shape.ts'
import { lineThrough } from './truth-fit.ts'
import { dropped, findPatch, type Patch } from './truth-patch.ts'
import {
  bisect,
  castRay,
  contour,
  contourRadius,
  criticalPoint,
  farthestOnGrid,
  inFrame,
  sectionCentroid,
} from './truth-search.ts'
import type { TibiaTruth } from './truth-terms.ts'

/** The part of the truth that MPTA and slopes need; model frame of a right tibia. */
export interface TibiaCore {
  readonly frame: Frame
  readonly medial: Patch
  readonly lateral: Patch
  readonly plafond: Patch
  readonly spineMedial: Vec3
  readonly spineLateral: Vec3
  readonly ankle: Vec3
  readonly plateauMedial: Vec3
  readonly plateauLateral: Vec3
  readonly posteriorNotch: Vec3
  readonly tubercle: Vec3
  readonly tubercleMedialThird: Vec3
}

/**
 * Frame, patches and landmarks of a right tibia, iterated together until they no longer move. A plafond already found
 * on the same shaft may be given.
 */
export function tibiaCore(shape: TibiaShape, stepMm: number, known?: { readonly plafond: Patch }): TibiaCore {
  const f = shape.sdf
  const s = shape.sizeFactor
  const l = shape.lengthMm
  const spineWindow = (low: number, high: number) =>
    farthestOnGrid(f, 'y', -1, { a: [low * s, high * s], b: [-12 * s, 10 * s], start: 40 }, 0.75)
  const roughMedial = spineWindow(-11, 0)
  const roughLateral = spineWindow(0, 11)
  const plateau = (z: readonly [number, number]) =>
    findPatch(f, { x: [-31 * s, 31 * s], z, from: 14 * s, towards: -1, reach: 42 * s, stepMm })
  const medial = plateau([-43 * s, roughMedial[2]])
  const lateral = plateau([roughLateral[2], 43 * s])
  const plafond =
    known?.plafond ??
    findPatch(f, {
      x: [-26 * s, 26 * s],
      z: [-26 * s, 26 * s],
      from: -l - 24 * s,
      towards: 1,
      reach: 24 * s + 0.05 * l,
      stepMm: Math.min(stepMm, 0.25),
    })

  let frame = frameFromLongAndAnterior([0, 0, 0], [0, 1, 0], [1, 0, 0])
  let spineMedial = roughMedial
  let spineLateral = roughLateral
  for (let pass = 0; pass < 40; pass++) {
    const g = inFrame(f, frame)
    const out = outOfFrame(frame)
    const into = intoFrame(frame)
    spineMedial = mapPoint(out, criticalPoint(g, 'y', mapPoint(into, spineMedial)))
    spineLateral = mapPoint(out, criticalPoint(g, 'y', mapPoint(into, spineLateral)))
    const ankle = dropped(f, plafond.centroid, frame.y)
    const plateauMedial = dropped(f, medial.centroid, frame.y)
    const plateauLateral = dropped(f, lateral.centroid, frame.y)
    const knee = midpoint(spineMedial, spineLateral)
    const lowest = Math.min(mapPoint(into, plateauMedial)[1], mapPoint(into, plateauLateral)[1])
    const notch = posteriorNotch(g, lowest - 12)
    const length = Math.hypot(...sub(knee, ankle))
    const kneeY = mapPoint(into, knee)[1]
    const tubercle = tubercleOf(g, kneeY - 0.16 * length, kneeY - 0.06 * length)
    const third = medialThird(g, tubercle)
    const anterior = mapVector(out, sub(third, notch))
    const next = frameFromLongAndAnterior(knee, sub(knee, ankle), anterior)
    const moved =
      Math.hypot(...sub(next.origin, frame.origin)) + 400 * Math.hypot(...sub(next.x, frame.x), ...sub(next.y, frame.y))
    const core = {
      frame: next,
      medial,
      lateral,
      plafond,
      spineMedial,
      spineLateral,
      ankle,
      plateauMedial,
      plateauLateral,
      posteriorNotch: mapPoint(out, notch),
      tubercle: mapPoint(out, tubercle),
      tubercleMedialThird: mapPoint(out, third),
    }
    frame = next
    if (moved < 1e-6) return core
  }
  throw new Error('the tibia frame did not settle')
}

/** MPTA (levelled and plain) and the two slopes, degrees, in the tibia frame of a right leg. */
export function tibiaAngles(core: TibiaCore): {
  mpta: number
  plain: number
  medialSlope: number
  lateralSlope: number
} {
  const into = intoFrame(core.frame)
  const m = mapPoint(into, core.plateauMedial)
  const l = mapPoint(into, core.plateauLateral)
  const slope = (n: Vec3) => Math.atan2(-n[0], n[1])
  const medialSlope = slope(mapVector(into, core.medial.normal))
  const lateralSlope = slope(mapVector(into, core.lateral.normal))
  const x = (m[0] + l[0]) / 2
  const levelled = (p: Vec3, s: number) => p[1] + Math.tan(s) * (x - p[0])
  const angle = (ym: number, yl: number) => toDeg(Math.atan2(l[2] - m[2], yl - ym))
  return {
    mpta: angle(levelled(m, medialSlope), levelled(l, lateralSlope)),
    plain: angle(m[1], l[1]),
    medialSlope: toDeg(medialSlope),
    lateralSlope: toDeg(lateralSlope),
  }
}

/** Contour point of the posterior concavity farthest from the hull edge that bridges it, on the section at height y. */
function posteriorNotch(g: Sdf, y: number): Vec3 {
  const count = 720
  const radii = contour(g, y, [0, 0], count)
  const at = (angle: number, r: number): [number, number] => [r * Math.cos(angle), r * Math.sin(angle)]
  const points = Array.from(radii, (r, n) => at((2 * Math.PI * n) / count, r))
  const farthest = (low: number, high: number, [dx, dz]: readonly [number, number]): number => {
    let best = low
    let score = Number.NEGATIVE_INFINITY
    for (let n = low; n <= high; n++) {
      const along = points[n]![0] * dx + points[n]![1] * dz
      if (along > score) {
        score = along
        best = n
      }
    }
    return best
  }
  // The bridge touches the contour laterally and medially: turn a line pressed on from behind until it fits both.
  let back: [number, number] = [-1, 0]
  let lateral = 0
  let medial = 0
  for (let pass = 0; pass < 50; pass++) {
    lateral = farthest(count * 0.25, count * 0.5, back)
    medial = farthest(count * 0.5, count * 0.75, back)
    const dx = points[medial]![0] - points[lateral]![0]
    const dz = points[medial]![1] - points[lateral]![1]
    const k = Math.hypot(dx, dz)
    const next: [number, number] = [dz / k, -dx / k]
    const turned = Math.hypot(next[0] - back[0], next[1] - back[1])
    back = next
    if (turned < 1e-12) break
  }
  const forward: [number, number] = [-back[0], -back[1]]
  const deepest = farthest(lateral, medial, forward)
  const depth = (angle: number): number => {
    const p = at(angle, contourRadius(g, y, [0, 0], angle, radii[deepest]!))
    return p[0] * forward[0] + p[1] * forward[1]
  }
  const step = (2 * Math.PI) / count
  const angle = highest(depth, step * (deepest - 1), step * (deepest + 1))
  const [x, z] = at(angle, contourRadius(g, y, [0, 0], angle, radii[deepest]!))
  return [x, y, z]
}

/** Where a smooth function is highest between a and b (its derivative's root). */
function highest(g: (t: number) => number, a: number, b: number): number {
  const slope = (t: number) => g(t + 1e-4) - g(t - 1e-4)
  return slope(a) * slope(b) < 0 ? bisect(slope, a, b) : (a + b) / 2
}

function tubercleOf(g: Sdf, low: number, high: number): Vec3 {
  const start = farthestOnGrid(g, 'x', -1, { a: [low, high], b: [-20, 20], start: 90 }, 1)
  const p = criticalPoint(g, 'x', start)
  if (p[1] <= low || p[1] >= high) throw new Error('the tubercle is not prominent within its levels')
  return p
}

/** One third of the width of the front part of the section at the tubercle, from its medial end. */
function medialThird(g: Sdf, tubercle: Vec3): Vec3 {
  const [tx, y] = tubercle
  const centre: [number, number] = [tx - 20, tubercle[2]]
  const ahead = (angle: number) => contourRadius(g, y, centre, angle, null) * Math.cos(angle) - 15
  const toLateral = bisect(ahead, 0, 1.4)
  const toMedial = bisect(ahead, 0, -1.4)
  const z = (angle: number) => centre[1] + contourRadius(g, y, centre, angle, null) * Math.sin(angle)
  const wanted = z(toMedial) + (z(toLateral) - z(toMedial)) / 3
  const t = castRay(g, [tx + 30, y, wanted], [-1, 0, 0], 60)
  return [tx + 30 - t!, y, wanted]
}

/** Everything of the truth on a right tibia, in its model frame. */
export function tibiaTruth(shape: TibiaShape, core: TibiaCore): TibiaTruth {
  const { frame } = core
  const g = inFrame(shape.sdf, frame)
  const out = outOfFrame(frame)
  const length = Math.hypot(...sub(core.ankle, frame.origin))
  const centres: Vec3[] = []
  let guess: [number, number] = [4, 0]
  for (let i = 0; i <= 20; i++) {
    const y = -length * (0.14 + (0.26 * i) / 20)
    guess = sectionCentroid(g, y, guess)
    centres.push([guess[0], y, guess[1]])
  }
  const axis = lineThrough(centres, [0, 1, 0])
  const tip = criticalPoint(g, 'y', mapPoint(intoFrame(frame), shape.malleolusTip))
  const up = (n: Vec3): Vec3 => (dot(n, frame.y) < 0 ? scale(n, -1) : n)
  return {
    landmarks: {
      tibialKneeCentre: frame.origin,
      spinesCentre: frame.origin,
      spineMedial: core.spineMedial,
      spineLateral: core.spineLateral,
      plateauMedial: core.plateauMedial,
      plateauLateral: core.plateauLateral,
      posteriorNotch: core.posteriorNotch,
      tubercle: core.tubercle,
      tubercleMedialThird: core.tubercleMedialThird,
      malleolusMedial: mapPoint(out, tip),
      ankleCentre: core.ankle,
    },
    frame,
    medial: plateau(core.plateauMedial, core.medial),
    lateral: plateau(core.plateauLateral, core.lateral),
    plafondNormal: up(core.plafond.normal),
    proximalShaft: { point: mapPoint(out, axis.point), direction: mapVector(out, axis.direction) },
  }
}

const plateau = (point: Vec3, patch: Patch) => ({
  point,
  normal: patch.normal,
  areaMm2: patch.areaMm2,
  rmsMm: patch.rmsMm,
})
