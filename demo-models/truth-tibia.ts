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
import { middleOfCap } from './truth-cap.ts'
import { lineThrough } from './truth-fit.ts'
import { posteriorNotch } from './truth-notch.ts'
import { dropped, findPatch, type Patch, type SurfaceGrid, seenSurface } from './truth-patch.ts'
import { plateauPatches } from './truth-plateau.ts'
import {
  bisect,
  castRay,
  contourRadius,
  criticalPoint,
  farthestOnGrid,
  inFrame,
  sectionCentroid,
} from './truth-search.ts'
import { spines } from './truth-spines.ts'
import type { TibiaTruth } from './truth-terms.ts'

/** The part of the truth that MPTA and slopes need; model frame of a right tibia. */
export interface TibiaCore {
  readonly frame: Frame
  readonly medial: Patch
  readonly lateral: Patch
  readonly plafond: Patch
  readonly bottom: SurfaceGrid
  readonly spineMedial: Vec3
  readonly spineLateral: Vec3
  readonly ankle: Vec3
  readonly plateauMedial: Vec3
  readonly plateauLateral: Vec3
  readonly posteriorNotch: Vec3
  readonly tubercle: Vec3
  readonly tubercleMedialThird: Vec3
}

/** The surfaces that patches and spines are looked for on, of one tibia's shape. */
interface Surfaces {
  readonly top: SurfaceGrid
  readonly bottom: SurfaceGrid
}

/**
 * Frame, patches and landmarks of a right tibia, iterated together until they no longer move. What is known of the same
 * shaft under other plateaus may be given: the plafond's surface, and the frame to start from.
 */
export function tibiaCore(
  shape: TibiaShape,
  stepMm: number,
  known?: { readonly frame: Frame; readonly bottom: SurfaceGrid },
): TibiaCore {
  const f = shape.sdf
  const s = shape.sizeFactor
  const l = shape.lengthMm
  const surfaces: Surfaces = {
    top: seenSurface(f, {
      x: [-32 * s, 32 * s],
      z: [-44 * s, 44 * s],
      from: 24 * s,
      towards: -1,
      reach: 52 * s,
      stepMm,
    }),
    bottom:
      known?.bottom ??
      seenSurface(f, {
        x: [-26 * s, 26 * s],
        z: [-26 * s, 26 * s],
        from: -l - 24 * s,
        towards: 1,
        reach: 24 * s + 0.05 * l,
        stepMm: 0.4,
      }),
  }
  let frame = known?.frame ?? frameFromLongAndAnterior([0, 0, 0], [0, 1, 0], [1, 0, 0])
  for (let pass = 0; pass < 12; pass++) {
    const core = settledWith(shape, frame, patchesIn(shape, surfaces, frame), surfaces.bottom)
    const moved = distanceOfFrames(core.frame, frame)
    frame = core.frame
    if (moved < 1e-4) return core
  }
  throw new Error('the tibia frame did not settle')
}

interface Patches {
  readonly medial: Patch
  readonly lateral: Patch
  readonly plafond: Patch
  readonly spineMedial: Vec3
  readonly spineLateral: Vec3
}

/** Spines and patches as seen in a given frame: plateaus within their outline, plafond within 0.05 L of the lowest point. */
function patchesIn(shape: TibiaShape, { top, bottom }: Surfaces, frame: Frame): Patches {
  const f = shape.sdf
  const [roughMedial, roughLateral] = spines(top, frame)
  const g = inFrame(f, frame)
  const refined = (p: Vec3) => mapPoint(outOfFrame(frame), criticalPoint(g, 'y', mapPoint(intoFrame(frame), p)))
  const spineMedial = refined(roughMedial)
  const spineLateral = refined(roughLateral)
  const tip = mapPoint(outOfFrame(frame), criticalPoint(g, 'y', mapPoint(intoFrame(frame), shape.malleolusTip)))
  const length = dot(sub(frame.origin, tip), frame.y)
  return {
    ...plateauPatches(shape, top, frame),
    plafond: findPatch(bottom, scale(frame.y, -1), (p) => 0.05 * length - dot(sub(p, tip), frame.y)),
    spineMedial,
    spineLateral,
  }
}

/** The frame that belongs to given patches, iterated from a start until it no longer moves. */
function settledWith(shape: TibiaShape, start: Frame, patches: Patches, bottom: SurfaceGrid): TibiaCore {
  const f = shape.sdf
  let frame = start
  let { spineMedial, spineLateral } = patches
  for (let pass = 0; pass < 40; pass++) {
    const g = inFrame(f, frame)
    const out = outOfFrame(frame)
    const into = intoFrame(frame)
    spineMedial = mapPoint(out, criticalPoint(g, 'y', mapPoint(into, spineMedial)))
    spineLateral = mapPoint(out, criticalPoint(g, 'y', mapPoint(into, spineLateral)))
    const ankle = dropped(f, patches.plafond.centroid, frame.y)
    const plateauMedial = dropped(f, patches.medial.centroid, frame.y)
    const plateauLateral = dropped(f, patches.lateral.centroid, frame.y)
    const knee = midpoint(spineMedial, spineLateral)
    const notch = posteriorNotch(g, {
      medial: { point: mapPoint(into, plateauMedial), normal: mapVector(into, patches.medial.normal) },
      lateral: { point: mapPoint(into, plateauLateral), normal: mapVector(into, patches.lateral.normal) },
    })
    const length = Math.hypot(...sub(knee, ankle))
    const kneeY = mapPoint(into, knee)[1]
    const tubercle = tubercleOf(g, kneeY - 0.16 * length, kneeY - 0.06 * length)
    const third = medialThird(g, tubercle)
    const anterior = mapVector(out, sub(third, notch))
    const next = frameFromLongAndAnterior(knee, sub(knee, ankle), anterior)
    const moved = distanceOfFrames(next, frame)
    const core = {
      ...patches,
      bottom,
      frame: next,
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
    if (moved < 1e-5) return core
  }
  throw new Error('the tibia frame did not settle')
}

const distanceOfFrames = (a: Frame, b: Frame): number =>
  Math.hypot(...sub(a.origin, b.origin)) + 400 * Math.hypot(...sub(a.x, b.x), ...sub(a.y, b.y))

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

/** Middle of the cap that stands out most in front between two levels; towards them surface counts less, over a fifth of their distance. */
function tubercleOf(g: Sdf, low: number, high: number): Vec3 {
  const start = farthestOnGrid(g, 'x', -1, { a: [low, high], b: [-20, 20], start: 90 }, 1)
  const p = criticalPoint(g, 'x', start)
  if (p[1] <= low || p[1] >= high) throw new Error('the tubercle is not prominent within its levels')
  const counts = (y: number): number => {
    const s = Math.max(0, Math.min(1, (y - low) / (high - low) / 0.2, (high - y) / (high - low) / 0.2))
    return s * s * (3 - 2 * s)
  }
  return middleOfCap(g, p, { out: 0, towards: -1, heights: [low, high], counts, stepMm: 1 })
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
