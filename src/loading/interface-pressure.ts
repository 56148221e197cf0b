import { fail, ok, type Result } from '../failure.ts'
import { clipLoops, type Loop, type Moments, polygonMoments } from './polygon-moments.ts'

/** Pressure under a rigid base that can press and not pull: p = max(0, a + b·x + c·y), MPa, mm. */
export interface InterfacePressure {
  readonly a: number
  readonly b: number
  readonly c: number
  readonly peakMpa: number
  readonly meanMpa: number
  readonly contactMm2: number
  /** Share of the base that lifts off, 0…1. */
  readonly liftOffShare: number
  /** |solved − applied| force, N, and the larger moment, N·mm. */
  readonly forceErrorN: number
  readonly momentErrorNmm: number
}

const relativeTolerance = 1e-9
const mostSteps = 200

/**
 * Pressure under a rigid flat base of any outline (loops, mm) carrying `forceN` at (x, y) without tension: linear
 * where it presses, zero where it lifts off, in balance of force and both moments (Winkler bedding; the kern rules of
 * check values §8 are its special cases). The potential is convex, so damped Newton steps on exact polygon moments
 * find the one answer. A force outside the base's convex hull tips it: `contact/no-solution`.
 */
export function interfacePressure(
  loops: readonly Loop[],
  forceN: number,
  at: readonly [number, number],
): Result<InterfacePressure> {
  const whole = polygonMoments(loops)
  if (!(whole.area > 0) || !(forceN > 0))
    return fail('contact/no-solution', 'There is no base, or no force pressing on it.', { place: 'loading.interface' })
  const cx = whole.x / whole.area
  const cy = whole.y / whole.area
  const size = Math.sqrt(whole.area)
  const base = loops.map((loop) => loop.map(([x, y]): readonly [number, number] => [(x - cx) / size, (y - cy) / size]))
  const load = [1, (at[0] - cx) / size, (at[1] - cy) / size] as const
  if (!insideHull(base.flat(), load[1], load[2]))
    return fail('contact/no-solution', 'The load acts outside the base: it would tip.', {
      hint: 'A ligament or another support would have to carry the difference.',
      place: 'loading.interface',
    })
  const solved = solve(base, load)
  if (!solved)
    return fail('contact/no-solution', 'The load acts so near the edge of the base that no pressure balances it.', {
      place: 'loading.interface',
    })
  const { plane, active, residual } = solved
  const scale = forceN / whole.area
  const [p0, px, py] = [plane[0] * scale, (plane[1] * scale) / size, (plane[2] * scale) / size]
  const peak = Math.max(0, ...base.flat().map(([x, y]) => plane[0] + plane[1] * x + plane[2] * y)) * scale
  return ok({
    a: p0 - px * cx - py * cy,
    b: px,
    c: py,
    peakMpa: peak,
    meanMpa: forceN / (active.area * whole.area),
    contactMm2: active.area * whole.area,
    liftOffShare: Math.max(0, 1 - active.area),
    forceErrorN: Math.abs(residual[0]) * forceN,
    momentErrorNmm: Math.max(Math.abs(residual[1]), Math.abs(residual[2])) * forceN * size,
  })
}

type Triple = readonly [number, number, number]

interface Solved {
  readonly plane: Triple
  readonly active: Moments
  readonly residual: Triple
}

/** Newton on the convex potential ∫ max(0, p)²/2 − load·plane, on a base of area 1 about its centroid. */
function solve(base: readonly Loop[], load: Triple): Solved | null {
  let plane: Triple = [1, 0, 0]
  let state = evaluate(base, load, plane)
  for (let step = 0; step < mostSteps; step++) {
    if (Math.max(...state.residual.map(Math.abs)) < relativeTolerance) return state
    const move = newtonStep(state.active, state.residual)
    if (!move) return null
    let taken = false
    for (let share = 1; share > 1e-8 && !taken; share /= 2) {
      const next: Triple = [plane[0] + share * move[0], plane[1] + share * move[1], plane[2] + share * move[2]]
      const there = evaluate(base, load, next)
      const slope = dot(state.residual, move)
      if (there.potential <= state.potential + 1e-4 * share * slope || there.potential - state.potential < -1e-14) {
        plane = next
        state = there
        taken = true
      }
    }
    if (!taken) break
  }
  return Math.max(...state.residual.map(Math.abs)) < 1e-7 ? state : null
}

function evaluate(base: readonly Loop[], load: Triple, plane: Triple): Solved & { readonly potential: number } {
  const [a, b, c] = plane
  const m = polygonMoments(clipLoops(base, a, b, c))
  const force = a * m.area + b * m.x + c * m.y
  const momentX = a * m.x + b * m.xx + c * m.xy
  const momentY = a * m.y + b * m.xy + c * m.yy
  return {
    plane,
    active: m,
    residual: [force - load[0], momentX - load[1], momentY - load[2]],
    potential: (a * force + b * momentX + c * momentY) / 2 - dot(load, plane),
  }
}

/** −H⁻¹·residual with H the moments of the pressing part, slightly lifted so that a vanishing part still moves. */
function newtonStep(m: Moments, residual: Triple): Triple | null {
  const lift = 1e-12
  const h: readonly Triple[] = [
    [m.area + lift, m.x, m.y],
    [m.x, m.xx + lift, m.xy],
    [m.y, m.xy, m.yy + lift],
  ]
  const [r0, r1, r2] = h as readonly [Triple, Triple, Triple]
  const det = dot(r0, cross(r1, r2))
  if (!(Math.abs(det) > 1e-60)) return null
  const c12 = cross(r1, r2)
  const c20 = cross(r2, r0)
  const c01 = cross(r0, r1)
  const part = (k: 0 | 1 | 2) => -(residual[0] * c12[k] + residual[1] * c20[k] + residual[2] * c01[k]) / det
  return [part(0), part(1), part(2)]
}

const dot = (p: Triple, q: Triple): number => p[0] * q[0] + p[1] * q[1] + p[2] * q[2]
const cross = (p: Triple, q: Triple): Triple => [
  p[1] * q[2] - p[2] * q[1],
  p[2] * q[0] - p[0] * q[2],
  p[0] * q[1] - p[1] * q[0],
]

/** Strictly inside the convex hull: no line through the point leaves every corner on one side. */
function insideHull(points: Loop, x: number, y: number): boolean {
  const angles = points.map(([px, py]) => Math.atan2(py - y, px - x)).sort((p, q) => p - q)
  if (angles.length < 3) return false
  let widest = angles[0]! + 2 * Math.PI - angles[angles.length - 1]!
  for (let i = 1; i < angles.length; i++) widest = Math.max(widest, angles[i]! - angles[i - 1]!)
  return widest < Math.PI - 1e-12
}
