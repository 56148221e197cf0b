import { ok, type Result } from '../failure.ts'
import { type ContactField, contactField, type FacingSurfaces } from './contact-field.ts'
import { type Foundation, type PressureLaw, pressureLaw } from './foundation-law.ts'
import { heightOf, type Profile } from './profile.ts'
import { rimDistance } from './rim.ts'
import { type Contact, solveContact } from './solve-contact.ts'

/**
 * A bearing in the tray's plane: x lateral, y anterior, mm, origin in the middle. Two condyles (or one) stand in two
 * dishes; the rim is the tray's outline.
 */
export interface BearingGeometry {
  readonly femoralCoronal: Profile
  readonly femoralSagittal: Profile
  readonly insertCoronal: Profile
  readonly insertSagittal: Profile
  /** Middles of the condyles and of the dishes across, lateral positive. */
  readonly condylesMm: readonly number[]
  readonly dishesMm: readonly number[]
  /** Lowest points of the dishes from the middle, anterior positive. */
  readonly dishForwardMm: number
  readonly rim: readonly (readonly [number, number])[]
  readonly foundation: Foundation
}

/** How the femoral component stands on the insert besides what the load does: degrees and mm. */
export interface RelativePose {
  /** Coronal tilt of the femoral component to the tray, lateral side up positive. */
  readonly tiltDeg: number
  /** Axial rotation, external (of the tray under the component) positive, in right-leg form. */
  readonly rotationDeg: number
  readonly shiftLateralMm: number
  readonly shiftAnteriorMm: number
}

/** The force of the femur on the insert, N, in tray axes, and where its line meets the dishes' level. */
export interface BearingForce {
  readonly compressionN: number
  readonly lateralN: number
  readonly anteriorN: number
  readonly atLateralMm: number
}

/** One compartment's contact. */
export interface CompartmentContact {
  readonly loadN: number
  readonly peakMpa: number
  readonly meanMpa: number
  readonly areaMm2: number
  /** Centre of pressure, lateral and anterior of the middle, mm. */
  readonly centreMm: readonly [number, number]
  /** From the centre of pressure to the rim, mm. */
  readonly edgeDistanceMm: number
  /** Share of this compartment's load in the outer tenth of its width along the rim. */
  readonly outerTenthShare: number
  /** Share of the geometric overlap that lies beyond the rim. */
  readonly truncatedShare: number
  /** Patch cut by the rim, or its centre nearer to the rim than half its own width: the tool's definition. */
  readonly edgeLoaded: boolean
  /** Half width of the patch over the layer's thickness; below 1 the thin-layer law is out of its depth. */
  readonly halfWidthToThickness: number
}

export interface BearingSolution {
  readonly medial: CompartmentContact | null
  readonly lateral: CompartmentContact | null
  /** Where the condyles rest beside the dishes' middles after sliding until the contact pushes back, mm. */
  readonly slidMm: readonly [lateral: number, anterior: number]
  /** The insert is too flat (or the shear too great) to hold the condyles; the rest is left to soft tissue. */
  readonly shearHeld: boolean
  readonly centreMm: readonly [number, number]
  readonly forceError: number
  readonly momentError: number
  readonly field: ContactField
  readonly pressureMpa: Float64Array
}

export interface BearingOptions {
  readonly cellMm: number
  /** One condyle only carries (lift-off of the other). */
  readonly only: 'medial' | 'lateral' | null
}

const slideSteps = 24
/** Shear left over at which the slide is accepted when it gets no closer, over the load. */
const accepted = 1e-3
const probeMm = 0.5
const farthestSlideMm = 12

/**
 * Contact of the bearing under a force: the condyles slide in their dishes until the contact's slope balances the
 * shear (no friction), tilt across until the coronal moment balances, and sink until the force does. Where the insert
 * cannot hold the shear the condyles stay in the middle and `shearHeld` is false. No balance at all is a failure.
 */
export function solveBearing(
  geometry: BearingGeometry,
  pose: RelativePose,
  force: BearingForce,
  { cellMm, only }: BearingOptions,
): Result<BearingSolution> {
  const law = pressureLaw(geometry.foundation)
  if (!law.ok) return law
  const at = (slide: readonly [number, number]) => attempt(geometry, pose, force, cellMm, only, law.value, slide)
  const middle = at([0, 0])
  const slid = slideUntilHeld(at, middle, force)
  const held = slid ?? middle
  if (!held.ok) return held
  const { contact, field, slide } = held.value
  const rim = rimDistance(geometry.rim)
  const compartment = (sign: -1 | 1) => compartmentOf(contact, field, rim, sign, geometry)
  return ok({
    medial: compartment(-1),
    lateral: geometry.condylesMm.length > 1 ? compartment(1) : null,
    slidMm: slide,
    shearHeld: slid !== null,
    centreMm: contact.centre,
    forceError: contact.forceError,
    momentError: contact.momentError,
    field,
    pressureMpa: contact.nodePressureMpa,
  })
}

interface Attempt {
  readonly slide: readonly [number, number]
  readonly field: ContactField
  readonly contact: Contact
  /** In-plane push of the contact on the condyles, N, lateral and anterior. */
  readonly push: readonly [number, number]
}

function attempt(
  geometry: BearingGeometry,
  pose: RelativePose,
  force: BearingForce,
  cellMm: number,
  only: BearingOptions['only'],
  law: PressureLaw,
  slide: readonly [number, number],
): Result<Attempt> {
  const surfaces = facing(geometry, pose, only, slide)
  const field = contactField(surfaces.facing, cellMm)
  const contact = solveContact(field, law, {
    forceN: force.compressionN,
    at: [force.atLateralMm, geometry.dishForwardMm],
    freedom: only === null && geometry.condylesMm.length > 1 ? 'press-and-tilt-across' : 'press',
  })
  if (!contact.ok) return contact
  return ok({ slide, field, contact: contact.value, push: pushOf(field, contact.value, surfaces.insert) })
}

/** Broyden steps on the two slides; null when the contact never balances the shear. */
function slideUntilHeld(
  at: (slide: readonly [number, number]) => Result<Attempt>,
  middle: Result<Attempt>,
  force: BearingForce,
): Result<Attempt> | null {
  if (!middle.ok) return null
  const wanted = [-force.lateralN, -force.anteriorN] as const
  const enough = 1e-8 * force.compressionN
  const miss = (a: Attempt) => [a.push[0] - wanted[0], a.push[1] - wanted[1]] as const
  let now = middle.value
  if (Math.hypot(...miss(now)) < enough) return middle
  // Probed towards where the condyles will go, so that mirrored loads take mirrored steps.
  const [stepX, stepY] = miss(now).map((v) => (v > 0 ? -probeMm : probeMm)) as [number, number]
  const probeX = at([stepX, 0])
  const probeY = at([0, stepY])
  if (!probeX.ok || !probeY.ok) return null
  let jxx = (probeX.value.push[0] - now.push[0]) / stepX
  let jyx = (probeX.value.push[1] - now.push[1]) / stepX
  let jxy = (probeY.value.push[0] - now.push[0]) / stepY
  let jyy = (probeY.value.push[1] - now.push[1]) / stepY
  for (let k = 0; k < slideSteps; k++) {
    const [rx, ry] = miss(now)
    if (Math.hypot(rx, ry) < enough) return ok(now)
    const det = jxx * jyy - jxy * jyx
    if (!(Math.abs(det) > 1e-6)) return null
    const dx = -(jyy * rx - jxy * ry) / det
    const dy = -(jxx * ry - jyx * rx) / det
    const next: readonly [number, number] = [now.slide[0] + dx, now.slide[1] + dy]
    if (!(Math.hypot(next[0], next[1]) < farthestSlideMm)) return null
    const there = at(next)
    if (!there.ok) return null
    const [sx, sy] = miss(there.value)
    const norm = dx * dx + dy * dy
    const ex = sx - rx - (jxx * dx + jxy * dy)
    const ey = sy - ry - (jyx * dx + jyy * dy)
    jxx += (ex * dx) / norm
    jxy += (ex * dy) / norm
    jyx += (ey * dx) / norm
    jyy += (ey * dy) / norm
    now = there.value
  }
  return Math.hypot(...miss(now)) < accepted * force.compressionN ? ok(now) : null
}

/** The pressure acts along the insert's normal: its part in the plane is −p times the insert's slope. */
function pushOf(
  field: ContactField,
  contact: Contact,
  insert: (x: number, y: number) => number,
): readonly [number, number] {
  const d = 0.01
  let [px, py, total] = [0, 0, 0]
  for (let j = 0, k = 0; j < field.rows; j++)
    for (let i = 0; i < field.columns; i++, k++) {
      const p = contact.nodePressureMpa[k]!
      if (p <= 0) continue
      const x = field.lowX + i * field.cellMm
      const y = field.lowY + j * field.cellMm
      const here = insert(x, y)
      px -= p * slopeAt(insert(x - d, y), here, insert(x + d, y), d)
      py -= p * slopeAt(insert(x, y - d), here, insert(x, y + d), d)
      total += p
    }
  const scale = total > 0 ? contact.forceN / total : 0
  return [px * scale, py * scale]
}

/** Slope from the heights at −d, 0 and d; one-sided where the surface ends within that. */
function slopeAt(before: number, here: number, after: number, d: number): number {
  if (Number.isFinite(before) && Number.isFinite(after)) return (after - before) / (2 * d)
  if (Number.isFinite(after)) return (after - here) / d
  return Number.isFinite(before) ? (here - before) / d : 0
}

function facing(
  geometry: BearingGeometry,
  pose: RelativePose,
  only: BearingOptions['only'],
  slide: readonly [number, number],
): { readonly facing: FacingSurfaces; readonly insert: (x: number, y: number) => number } {
  const { condylesMm, dishesMm, dishForwardMm, rim } = geometry
  const femoralAcross = heightOf(geometry.femoralCoronal)
  const femoralAlong = heightOf(geometry.femoralSagittal)
  const insertAcross = heightOf(geometry.insertCoronal)
  const insertAlong = heightOf(geometry.insertSagittal)
  const cosine = Math.cos((pose.rotationDeg * Math.PI) / 180)
  const sine = Math.sin((pose.rotationDeg * Math.PI) / 180)
  const tilt = Math.tan((pose.tiltDeg * Math.PI) / 180)
  const shiftX = pose.shiftLateralMm + slide[0]
  const shiftY = pose.shiftAnteriorMm + slide[1] + dishForwardMm
  const carries = (middle: number) => only === null || (only === 'medial' ? middle < 0 : middle > 0)
  const condyles = condylesMm.filter(carries)
  const lowestOf = (middles: readonly number[], height: (at: number) => number) => (x: number) => {
    let least = Number.POSITIVE_INFINITY
    for (const middle of middles) least = Math.min(least, height(x - middle))
    return least
  }
  const condyleAcross = lowestOf(condyles, femoralAcross)
  const dishAcross = lowestOf(dishesMm, insertAcross)
  const insert = (x: number, y: number) => dishAcross(x) + insertAlong(y - dishForwardMm)
  // Where the dish has ended there is nothing to touch, however the condyle goes on.
  const over = (upper: number, lower: number) => (lower === Number.POSITIVE_INFINITY ? lower : upper - lower)
  const gap = (x: number, y: number) => {
    const u = x - shiftX
    const v = y - shiftY
    const across = cosine * u + sine * v
    return over(condyleAcross(across) + femoralAlong(cosine * v - sine * u) + tilt * across, insert(x, y))
  }
  const parts =
    pose.rotationDeg === 0
      ? {
          across: (x: number) => over(condyleAcross(x - shiftX) + tilt * (x - shiftX), dishAcross(x)),
          along: (y: number) => over(femoralAlong(y - shiftY), insertAlong(y - dishForwardMm)),
        }
      : null
  const xs = rim.map((p) => p[0])
  const ys = rim.map((p) => p[1])
  const span = Math.max(...xs.map(Math.abs))
  return {
    facing: {
      gap,
      ...(parts ? { parts } : {}),
      rim: rimDistance(rim),
      low: [-span, Math.min(...ys)],
      high: [span, Math.max(...ys)],
    },
    insert,
  }
}

function compartmentOf(
  contact: Contact,
  field: ContactField,
  rim: (x: number, y: number) => number,
  sign: -1 | 1,
  { rim: outline, foundation, condylesMm }: BearingGeometry,
): CompartmentContact | null {
  const { columns, rows, cellMm, lowX, lowY } = field
  const single = condylesMm.length === 1
  const xs = outline.map((p) => sign * p[0])
  const widthMm = single ? Math.max(...xs) - Math.min(...xs) : Math.max(...xs)
  const band = 0.1 * widthMm
  let [sum, sx, sy, outer, peak, nodes] = [0, 0, 0, 0, 0, 0]
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity]
  let nearest = Number.POSITIVE_INFINITY
  for (let j = 0, k = 0; j < rows; j++)
    for (let i = 0; i < columns; i++, k++) {
      const p = contact.nodePressureMpa[k]!
      const x = lowX + i * cellMm
      if (p <= 0 || (!single && sign * x < 0)) continue
      const y = lowY + j * cellMm
      const share = x === 0 && !single ? 0.5 : 1
      const inside = rim(x, y)
      sum += p * share
      sx += p * share * x
      sy += p * share * y
      nodes += share
      nearest = Math.min(nearest, inside)
      if (inside < band) outer += p * share
      if (p > peak) peak = p
      left = Math.min(left, x)
      right = Math.max(right, x)
      low = Math.min(low, y)
      high = Math.max(high, y)
    }
  if (sum <= 0) return null
  const total = contact.nodePressureMpa.reduce((all, p) => all + p, 0)
  const centre = [sx / sum, sy / sum] as const
  const edgeDistanceMm = rim(centre[0], centre[1])
  const halfWidth = Math.max(cellMm, Math.min(right - left, high - low) / 2)
  const cut = nearest < cellMm && contact.truncatedShare > 0
  const loadN = (contact.forceN * sum) / total
  const areaMm2 = nodes * cellMm * cellMm
  return {
    loadN,
    peakMpa: peak,
    meanMpa: loadN / areaMm2,
    areaMm2,
    centreMm: centre,
    edgeDistanceMm,
    outerTenthShare: outer / sum,
    truncatedShare: cut ? contact.truncatedShare : 0,
    edgeLoaded: cut || edgeDistanceMm < halfWidth,
    halfWidthToThickness: halfWidth / foundation.thicknessMm,
  }
}
