import { fail, ok, type Result } from '../failure.ts'
import type { ContactField } from './contact-field.ts'
import type { PressureLaw } from './foundation-law.ts'
import { addCell, type CellSums } from './wedge.ts'

/** How the upper body may move: straight down; or down and tilting about the y axis, or about both axes. */
export type Freedom = 'press' | 'press-and-tilt-across' | 'press-and-tilt'

export interface ContactLoad {
  readonly forceN: number
  /** Where the force acts, mm; only a body that may tilt minds. */
  readonly at: readonly [number, number]
  readonly freedom: Freedom
}

/** A solved contact. Lengths mm, tilts as slopes (mm per mm) of the upper body about the load's point. */
export interface Contact {
  readonly approachMm: number
  /** Penetration grows by this much per mm of x and of y. */
  readonly tilt: readonly [number, number]
  readonly forceN: number
  /** |solved − applied| over the applied force; moments over force × 10 mm. */
  readonly forceError: number
  readonly momentError: number
  readonly peakMpa: number
  readonly meanMpa: number
  readonly areaMm2: number
  /** Centre of pressure, mm. */
  readonly centre: readonly [number, number]
  /** Half extents of the patch along x and y, mm. */
  readonly halfWidthsMm: readonly [number, number]
  /** Share of the geometric overlap that lies beyond the rim. */
  readonly truncatedShare: number
  /** Pressure on the grid's nodes, MPa; 0 where nothing touches. */
  readonly nodePressureMpa: Float64Array
}

/** Residuals at which a solution is accepted, relative to the load (the issue asks for 1e-6). */
const tolerance = 1e-9
const accepted = 1e-6
const mostSteps = 80
/** Lever that makes moments comparable with forces, mm. */
const lever = 10

/**
 * Presses the upper body of `field` on its elastic lower one until force and (where it may tilt) moments balance:
 * penetration δ + tilt·(x, y) − gap, pressure by the foundation law, never negative. Newton steps from the touching
 * pose, halved until the residual falls. A load that no contact can balance is `contact/no-solution`.
 */
export function solveContact(field: ContactField, law: PressureLaw, load: ContactLoad): Result<Contact> {
  if (!(load.forceN > 0) || !Number.isFinite(field.leastGapMm))
    return fail('contact/no-solution', 'Nothing presses the surfaces together, or they do not face each other.', {
      place: 'loading.bearing',
    })
  const evaluate = evaluator(field, law, load)
  const pressed = pressDown(evaluate, field.leastGapMm, law)
  if (!pressed) return unbalanced()
  const solved = load.freedom === 'press' ? pressed : balance(evaluate, pressed, load.freedom)
  if (!solved || worst(solved, load.freedom) > accepted) return unbalanced()
  return ok(describe(field, law, load, solved))
}

const unbalanced = () =>
  fail('contact/no-solution', 'No contact of these surfaces balances the load: it would slide or tip off.', {
    hint: 'A ligament or another support would have to carry the difference.',
    place: 'loading.bearing',
  })

type Pose = readonly [number, number, number]

interface Balance {
  readonly pose: Pose
  /** Force and both moments less the applied ones, over the applied force; moments also over the lever. */
  readonly residual: Pose
  /** Rows of the stiffness, scaled the same way. */
  readonly stiffness: readonly [Pose, Pose, Pose]
  readonly sums: CellSums
}

type Evaluate = (pose: Pose) => Balance

/** Force, moments and stiffness of a pose [approach, tilt·lever along x, along y]; lengths about the load's point. */
function evaluator(field: ContactField, law: PressureLaw, { forceN, at }: ContactLoad): Evaluate {
  const { cellMm: h, columns, rows, gapMm, rimMm } = field
  const x0 = field.lowX - at[0]
  const y0 = field.lowY - at[1]
  const span = Math.max(Math.abs(x0), Math.abs(x0 + columns * h), Math.abs(y0), Math.abs(y0 + rows * h))
  const near = cellsWithin(field, reachMm)
  const all = () => cellsWithin(field, Number.POSITIVE_INFINITY)
  return (pose) => {
    const [approach, tiltX, tiltY] = pose
    const m = new Float64Array(6)
    const l = new Float64Array(3)
    const cellSums: CellSums = { moments: new Float64Array(6), loads: new Float64Array(3) }
    const touched = new Float64Array(6)
    const penetration = (k: number, x: number, y: number) => approach + (tiltX * x + tiltY * y) / lever - gapMm[k]!
    const sunk = approach + ((Math.abs(tiltX) + Math.abs(tiltY)) * span) / lever
    const cells = sunk < field.leastGapMm + reachMm ? near : all()
    for (const k of cells) {
      const x = x0 + (k % columns) * h
      const y = y0 + Math.floor(k / columns) * h
      const u0 = penetration(k, x, y)
      const u1 = penetration(k + 1, x + h, y)
      const u2 = penetration(k + columns + 1, x + h, y + h)
      const u3 = penetration(k + columns, x, y + h)
      if (u0 <= 0 && u1 <= 0 && u2 <= 0 && u3 <= 0) continue
      const r0 = rimMm ? rimMm[k]! : 1
      const r1 = rimMm ? rimMm[k + 1]! : 1
      const r2 = rimMm ? rimMm[k + columns + 1]! : 1
      const r3 = rimMm ? rimMm[k + columns]! : 1
      if (r0 <= 0 && r1 <= 0 && r2 <= 0 && r3 <= 0) continue
      const whole = Math.min(u0, u1, u2, u3) >= 0 && Math.min(r0, r1, r2, r3) >= 0
      if (whole) addWhole(x, y, h, [u0, u1, u2, u3], law, m, l, touched)
      else addMixed(x, y, h, [u0, u1, u2, u3], [r0, r1, r2, r3], law, cellSums, m, l, touched)
    }
    const s = 1 / forceN
    const q = s / lever
    return {
      pose,
      residual: [l[0]! * s - 1, l[1]! * q, l[2]! * q],
      stiffness: [
        [m[0]! * s, m[1]! * q, m[2]! * q],
        [m[1]! * q, (m[3]! * q) / lever, (m[4]! * q) / lever],
        [m[2]! * q, (m[4]! * q) / lever, (m[5]! * q) / lever],
      ],
      sums: { moments: touched, loads: l },
    }
  }
}

/** How far beyond first touch cells are worth looking at, mm; deeper poses look at all. */
const reachMm = 1

/** Lower corners of the cells where some corner comes within `reach` of the first touch. */
function cellsWithin({ columns, rows, gapMm, leastGapMm }: ContactField, reach: number): Uint32Array {
  const most = leastGapMm + reach
  const cells = new Uint32Array((columns - 1) * (rows - 1))
  let count = 0
  for (let j = 0; j + 1 < rows; j++)
    for (let i = 0; i + 1 < columns; i++) {
      const k = j * columns + i
      if (gapMm[k]! <= most || gapMm[k + 1]! <= most || gapMm[k + columns]! <= most || gapMm[k + columns + 1]! <= most)
        cells[count++] = k
    }
  return cells.subarray(0, count)
}

type Four = readonly [number, number, number, number]

/** A cell that touches all over: pressures linear between its corners. */
function addWhole(
  x: number,
  y: number,
  h: number,
  u: Four,
  law: PressureLaw,
  m: Float64Array,
  l: Float64Array,
  touched: Float64Array,
): void {
  const area = h * h
  const cx = x + h / 2
  const cy = y + h / 2
  const p0 = law.pressure(u[0])
  const p1 = law.pressure(u[1])
  const p2 = law.pressure(u[2])
  const p3 = law.pressure(u[3])
  const mean = (p0 + p1 + p2 + p3) / 4
  const rise = area / 12
  l[0] += area * mean
  l[1] += area * mean * cx + (rise * h * (p1 + p2 - p0 - p3)) / 2
  l[2] += area * mean * cy + (rise * h * (p2 + p3 - p0 - p1)) / 2
  const k = law.stiffness((u[0] + u[1] + u[2] + u[3]) / 4)
  const xx = area * cx * cx + area * rise
  const yy = area * cy * cy + area * rise
  m[0] += k * area
  m[1] += k * area * cx
  m[2] += k * area * cy
  m[3] += k * xx
  m[4] += k * area * cx * cy
  m[5] += k * yy
  touched[0] += area
  touched[1] += area * cx
  touched[2] += area * cy
  touched[3] += xx
  touched[4] += area * cx * cy
  touched[5] += yy
}

/** A cell that touches in part: clipped, the pressure linear with the penetration's mean pressure. */
function addMixed(
  x: number,
  y: number,
  h: number,
  u: Four,
  r: Four,
  law: PressureLaw,
  sums: CellSums,
  m: Float64Array,
  l: Float64Array,
  touched: Float64Array,
): void {
  sums.moments.fill(0)
  sums.loads.fill(0)
  addCell(x, y, h, u, r, sums)
  const area = sums.moments[0]!
  if (area <= 0) return
  const mean = sums.loads[0]! / area
  const factor = mean > 0 ? law.pressure(mean) / mean : law.initialStiffness
  const k = law.stiffness(mean)
  for (let e = 0; e < 3; e++) l[e] = l[e]! + factor * sums.loads[e]!
  for (let e = 0; e < 6; e++) {
    m[e] = m[e]! + k * sums.moments[e]!
    touched[e] = touched[e]! + sums.moments[e]!
  }
}

/** Finds the approach at which the force alone balances: bracketed Newton, always converging. */
function pressDown(evaluate: Evaluate, leastGap: number, law: PressureLaw): Balance | null {
  let low = leastGap
  let high = leastGap + law.thicknessMm / 64
  let at = evaluate([high, 0, 0])
  for (let k = 0; at.residual[0] < 0; k++) {
    if (k > 40) return null
    low = high
    high = leastGap + 2 * (high - leastGap)
    at = evaluate([high, 0, 0])
  }
  for (let step = 0; step < mostSteps; step++) {
    if (Math.abs(at.residual[0]) < tolerance) return at
    if (at.residual[0] < 0) low = at.pose[0]
    else high = at.pose[0]
    const newton = at.pose[0] - at.residual[0] / at.stiffness[0][0]
    const next = newton > low && newton < high ? newton : (low + high) / 2
    if (next === at.pose[0]) return at
    at = evaluate([next, 0, 0])
  }
  return at
}

/** Newton on force and moments, each step halved until the residual falls. */
function balance(evaluate: Evaluate, start: Balance, freedom: Freedom): Balance | null {
  let at = start
  for (let step = 0; step < mostSteps; step++) {
    const now = worst(at, freedom)
    if (now < tolerance) return at
    const move = newtonMove(at, freedom)
    if (!move) return null
    let taken: Balance | null = null
    for (let share = 1; share > 1e-6; share /= 2) {
      const next = evaluate([at.pose[0] + share * move[0], at.pose[1] + share * move[1], at.pose[2] + share * move[2]])
      if (size(next, freedom) < size(at, freedom) * (1 - 1e-4 * share)) {
        taken = next
        break
      }
    }
    if (!taken) return at
    at = taken
  }
  return at
}

const free = (freedom: Freedom): Pose => [1, freedom === 'press' ? 0 : 1, freedom === 'press-and-tilt' ? 1 : 0]

function worst({ residual }: Balance, freedom: Freedom): number {
  const on = free(freedom)
  return Math.max(...residual.map((r, i) => Math.abs(r) * on[i]!))
}

function size({ residual }: Balance, freedom: Freedom): number {
  const on = free(freedom)
  return Math.hypot(...residual.map((r, i) => r * on[i]!))
}

/** Solves the stiffness rows of the free motions; null when the contact has no stiffness against one of them. */
function newtonMove({ residual, stiffness }: Balance, freedom: Freedom): Pose | null {
  const on = free(freedom)
  const a = stiffness.map((row, i) => row.map((v, j) => (on[i]! && on[j]! ? v : i === j ? 1 : 0)))
  const b = residual.map((r, i) => -r * on[i]!)
  for (let p = 0; p < 3; p++) {
    let pivot = p
    for (let i = p + 1; i < 3; i++) if (Math.abs(a[i]![p]!) > Math.abs(a[pivot]![p]!)) pivot = i
    if (!(Math.abs(a[pivot]![p]!) > 1e-14)) return null
    ;[a[p], a[pivot]] = [a[pivot]!, a[p]!]
    ;[b[p], b[pivot]] = [b[pivot]!, b[p]!]
    for (let i = p + 1; i < 3; i++) {
      const f = a[i]![p]! / a[p]![p]!
      for (let j = p; j < 3; j++) a[i]![j] = a[i]![j]! - f * a[p]![j]!
      b[i] = b[i]! - f * b[p]!
    }
  }
  const z = b[2]! / a[2]![2]!
  const y = (b[1]! - a[1]![2]! * z) / a[1]![1]!
  const x = (b[0]! - a[0]![1]! * y - a[0]![2]! * z) / a[0]![0]!
  return [x, y, z]
}

function describe(field: ContactField, law: PressureLaw, load: ContactLoad, solved: Balance): Contact {
  const { cellMm: h, columns, rows, lowX, lowY, gapMm, rimMm } = field
  const [approach, tiltX, tiltY] = solved.pose
  const nodePressureMpa = new Float64Array(columns * rows)
  let peak = 0
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity]
  let overlap = 0
  let beyond = 0
  for (let j = 0, k = 0; j < rows; j++)
    for (let i = 0; i < columns; i++, k++) {
      const x = lowX + i * h
      const y = lowY + j * h
      const u = approach + (tiltX * (x - load.at[0]) + tiltY * (y - load.at[1])) / lever - gapMm[k]!
      if (u <= 0) continue
      overlap++
      if (rimMm && rimMm[k]! < 0) {
        beyond++
        continue
      }
      const p = law.pressure(u)
      nodePressureMpa[k] = p
      if (p > peak) peak = p
      left = Math.min(left, x)
      right = Math.max(right, x)
      low = Math.min(low, y)
      high = Math.max(high, y)
    }
  const { moments, loads } = solved.sums
  const area = moments[0]!
  return {
    approachMm: approach,
    tilt: [tiltX / lever, tiltY / lever],
    forceN: loads[0]!,
    forceError: Math.abs(solved.residual[0]),
    momentError: worst({ ...solved, residual: [0, solved.residual[1], solved.residual[2]] }, load.freedom),
    peakMpa: peak,
    meanMpa: loads[0]! / area,
    areaMm2: area,
    centre: [loads[1]! / loads[0]! + load.at[0], loads[2]! / loads[0]! + load.at[1]],
    halfWidthsMm: [Math.max(0, (right - left) / 2), Math.max(0, (high - low) / 2)],
    truncatedShare: overlap > 0 ? beyond / overlap : 0,
    nodePressureMpa,
  }
}
