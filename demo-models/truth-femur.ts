import { type Frame, frameFromLongAndRight, mapPoint, mapVector, outOfFrame } from '../src/geometry/rigid.ts'
import { cross, dot, scale, sub, toDeg, toRad, unit, type Vec3 } from '../src/geometry/vec.ts'
import type { FemurShape } from './femur-shape.ts'
import { gradient, type Sdf } from './sdf.ts'
import { middleOfCap } from './truth-cap.ts'
import { middlesOfContact } from './truth-contact.ts'
import { cylinderThrough, lineThrough, type Sample } from './truth-fit.ts'
import { notchSaddle } from './truth-saddle.ts'
import { castRay, criticalPoint, farthestOnGrid, inFrame, sectionCentroid } from './truth-search.ts'
import type { AxisTruth, FemurTruth } from './truth-terms.ts'

/** The part of the truth that LDFA needs, in the right-leg model frame. */
export interface FemurCore {
  readonly frame: Frame
  readonly lengthMm: number
  /** In the femur frame. */
  readonly distalMedial: Vec3
  readonly distalLateral: Vec3
  readonly posteriorMedial: Vec3
  readonly posteriorLateral: Vec3
}

/** Frame and condylar contact points of a right femur, iterated together until they no longer move. */
export function femurCore(shape: FemurShape): FemurCore {
  const hip = shape.head.centre
  let frame = frameFromLongAndRight([0, 0, 0], hip, shape.condyleAxis.lateral)
  let core: FemurCore | null = null
  for (let pass = 0; pass < 30; pass++) {
    const f = inFrame(shape.sdf, frame)
    const distal = distalContacts(f, core)
    const posterior = posteriorContacts(f, core)
    const notch = notchSaddle(f, distal, pass > 0)
    const origin = mapPoint(outOfFrame(frame), notch)
    const right = mapVector(outOfFrame(frame), sub(posterior[1], posterior[0]))
    const next = frameFromLongAndRight(origin, sub(hip, origin), right)
    const moved = Math.hypot(...notch) + 400 * Math.hypot(...cross(next.z, frame.z), ...cross(next.y, frame.y))
    core = {
      frame: next,
      lengthMm: Math.hypot(...sub(hip, origin)),
      distalMedial: distal[0],
      distalLateral: distal[1],
      posteriorMedial: posterior[0],
      posteriorLateral: posterior[1],
    }
    frame = next
    if (moved < 1e-7) return core
  }
  throw new Error('the femur frame did not settle')
}

/** Angle of the distal tangent (lateral direction) to Y in the coronal plane, degrees. */
export function ldfa(core: FemurCore): number {
  const d = sub(core.distalLateral, core.distalMedial)
  return toDeg(Math.atan2(d[2], d[1]))
}

/** Contact points of the common tangent from below, in the frame's own coordinates: medial, lateral. */
function distalContacts(f: Sdf, known: FemurCore | null): [Vec3, Vec3] {
  let medial = known?.distalMedial ?? start(-45, -6)
  let lateral = known?.distalLateral ?? start(6, 45)
  for (let pass = 0; pass < 60; pass++) {
    const line = sub(lateral, medial)
    const z = unit([0, line[1], line[2]])
    const tilted: Frame = { origin: [0, 0, 0], x: [1, 0, 0], y: cross(z, [1, 0, 0]), z }
    const g = inFrame(f, tilted)
    const own = (p: Vec3): Vec3 => [dot(p, tilted.x), dot(p, tilted.y), dot(p, tilted.z)]
    const out = (p: Vec3): Vec3 => mapPoint(outOfFrame(tilted), p)
    const nextMedial = out(criticalPoint(g, 'y', own(medial)))
    const nextLateral = out(criticalPoint(g, 'y', own(lateral)))
    const moved = Math.hypot(...sub(nextMedial, medial), ...sub(nextLateral, lateral))
    medial = nextMedial
    lateral = nextLateral
    if (moved < 1e-7) return [medial, lateral]
  }
  throw new Error('the distal tangent did not settle')

  function start(low: number, high: number): Vec3 {
    return farthestOnGrid(f, 'y', 1, { a: [low, high], b: [-30, 30], start: -60 }, 1.5)
  }
}

/** Contact points of the plane parallel to Y that touches both condyles from behind: medial, lateral. */
function posteriorContacts(f: Sdf, known: FemurCore | null): [Vec3, Vec3] {
  let medial = known?.posteriorMedial ?? start(-45, -6)
  let lateral = known?.posteriorLateral ?? start(6, 45)
  for (let pass = 0; pass < 60; pass++) {
    const line = sub(lateral, medial)
    const z = unit([line[0], 0, line[2]])
    const turned: Frame = { origin: [0, 0, 0], x: cross([0, 1, 0], z), y: [0, 1, 0], z }
    const g = inFrame(f, turned)
    const own = (p: Vec3): Vec3 => [dot(p, turned.x), dot(p, turned.y), dot(p, turned.z)]
    const out = (p: Vec3): Vec3 => mapPoint(outOfFrame(turned), p)
    const nextMedial = out(criticalPoint(g, 'x', own(medial)))
    const nextLateral = out(criticalPoint(g, 'x', own(lateral)))
    const moved = Math.hypot(...sub(nextMedial, medial), ...sub(nextLateral, lateral))
    medial = nextMedial
    lateral = nextLateral
    if (moved < 1e-7) return [medial, lateral]
  }
  throw new Error('the posterior tangent did not settle')

  function start(low: number, high: number): Vec3 {
    return farthestOnGrid(f, 'x', 1, { a: [-10, 45], b: [low, high], start: -80 }, 1.5)
  }
}

/** Everything of the truth on a right femur, in its model frame. */
export function femurTruth(shape: FemurShape, core: FemurCore): FemurTruth {
  const { frame, lengthMm: l } = core
  const f = inFrame(shape.sdf, frame)
  const out = (p: Vec3): Vec3 => mapPoint(outOfFrame(frame), p)
  const epicondyle = (low: number, high: number, towards: 1 | -1): Vec3 => {
    const start = farthestOnGrid(f, 'z', towards, { a: [-30, 40], b: [low, high], start: -towards * 90 }, 1)
    return epicondyleCap(f, criticalPoint(f, 'z', start), towards, high, l)
  }
  const line = (low: number, high: number): AxisTruth => {
    const centres: Vec3[] = []
    let guess: [number, number] = [6, 20]
    for (let i = 0; i <= 20; i++) {
      const y = l * (low + ((high - low) * i) / 20)
      guess = sectionCentroid(f, y, i === 0 ? insideAt(f, y) : guess)
      centres.push([guess[0], y, guess[1]])
    }
    const fit = lineThrough(centres, [0, 1, 0])
    return { point: out(fit.point), direction: mapVector(outOfFrame(frame), fit.direction) }
  }
  const distal = middlesOfContact(f, [core.distalMedial, core.distalLateral], 'distal')
  const posterior = middlesOfContact(f, [core.posteriorMedial, core.posteriorLateral], 'posterior')
  return {
    landmarks: {
      hipCentre: shape.head.centre,
      femoralKneeCentre: frame.origin,
      notchCentre: frame.origin,
      condyleDistalMedial: out(distal[0]),
      condyleDistalLateral: out(distal[1]),
      condylePosteriorMedial: out(posterior[0]),
      condylePosteriorLateral: out(posterior[1]),
      epicondyleMedial: out(epicondyle(1, 0.12 * l, 1)),
      epicondyleLateral: out(epicondyle(1, 0.12 * l, -1)),
    },
    frame,
    head: shape.head,
    condylarCylinder: condylarCylinder(shape, frame.y),
    distalShaft: line(0.2, 0.45),
    shaft: line(0.2, 0.8),
  }
}

/** A point inside the section at height y: the middle of the ray through the shaft from the medial side. */
function insideAt(f: Sdf, y: number): [number, number] {
  for (let x = 0; x < 30; x += 3) {
    const t = castRay(f, [x, y, -90], [0, 0, 1], 180)
    const back = castRay(f, [x, y, 90], [0, 0, -1], 180)
    if (t !== null && back !== null) return [x, (t - back) / 2]
  }
  throw new Error('no shaft at this height')
}

/**
 * Least-squares cylinder on both posterior condyles: surface points 20°…120° from distal about the axis whose normal
 * leans less than 20° out of the plane perpendicular to it, weighted by area, iterated with the axis.
 */
function condylarCylinder(shape: FemurShape, proximal: Vec3): FemurTruth['condylarCylinder'] {
  const s = shape.condyleAxis
  let axis = { point: s.point, direction: s.lateral, radius: s.radiusMm, rms: 0 }
  for (let pass = 0; pass < 40; pass++) {
    const z = axis.direction
    const x = unit(cross(proximal, z))
    const own: Frame = { origin: axis.point, x, y: cross(z, x), z }
    const f = inFrame(shape.sdf, own)
    const samples: Sample[] = []
    for (let deg = 22; deg < 120; deg += 4) samples.push(...treadSamples(f, deg))
    const fit = cylinderThrough(samples, { point: [0, 0, 0], direction: [0, 0, 1], radius: axis.radius })
    const moved = Math.hypot(fit.point[0], fit.point[1]) + 30 * Math.hypot(fit.direction[0], fit.direction[1])
    axis = {
      point: mapPoint(outOfFrame(own), fit.point),
      direction: mapVector(outOfFrame(own), fit.direction),
      radius: fit.radius,
      rms: fit.rms,
    }
    if (moved < 1e-4) break
  }
  return { point: axis.point, direction: axis.direction, radiusMm: axis.radius, rmsMm: axis.rms }
}

/**
 * Samples closely set across both condyles along one ray direction (degrees from −Y towards −X about Z) where the
 * surface leans less than 20°, those at the limit with their covered share.
 */
function treadSamples(f: Sdf, deg: number): Sample[] {
  const away: Vec3 = [-Math.sin(toRad(deg)), -Math.cos(toRad(deg)), 0]
  const row: (Sample | null)[] = []
  for (let w = -42; w <= 42; w += 0.4) {
    const t = Math.abs(w) < 6 ? null : castRay(f, [30 * away[0], 30 * away[1], w], scale(away, -1), 15)
    const p: Vec3 = t === null ? [0, 0, 0] : [(30 - t) * away[0], (30 - t) * away[1], w]
    const normal = unit(gradient(f, p[0], p[1], p[2], 1e-4))
    const facing = dot(normal, away)
    row.push(t === null || facing < 0.5 ? null : { point: p, normal, weight: (30 - t) / facing })
  }
  const spare = row.map((s) => (s ? Math.sin(toRad(20)) - Math.abs(s.normal[2]) : -1))
  return row.flatMap((s, n) => {
    if (!s) return []
    const before = row[n - 1] ? spare[n - 1]! : spare[n]!
    const after = row[n + 1] ? spare[n + 1]! : spare[n]!
    const share = Math.min(1, Math.max(0, 0.5 + spare[n]! / Math.max(1e-9, Math.abs(after - before) / 2)))
    return share > 0 ? [{ ...s, weight: s.weight * share }] : []
  })
}

/** The joint's margin, in L above the notch: below the first nothing counts, from the second on everything. */
const marginShares = [0.03, 0.06] as const

/** Middle of the cap at an extreme along z up to the height `high`, places towards the joint's margin counting less; `l` is L, mm. */
function epicondyleCap(f: Sdf, extreme: Vec3, towards: 1 | -1, high: number, l: number): Vec3 {
  const [from, whole] = [marginShares[0] * l, marginShares[1] * l]
  const counts = (y: number): number => {
    const s = Math.min(1, (y - from) / (whole - from))
    return s * s * (3 - 2 * s)
  }
  return middleOfCap(f, extreme, { out: 2, towards, heights: [from, high], counts, stepMm: 0.5 })
}
