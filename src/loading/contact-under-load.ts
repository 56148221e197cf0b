import type { Failure } from '../failure.ts'
import { dot, type Vec3 } from '../geometry/vec.ts'
import {
  type BearingGeometry,
  type BearingSolution,
  type CompartmentContact,
  type RelativePose,
  solveBearing,
} from './bearing.ts'
import { effectiveModulus, effectiveRadius, pointContact } from './hertz.ts'
import { interfaceMap } from './interface-map.ts'
import { type InterfacePressure, interfacePressure } from './interface-pressure.ts'
import type { LoadLine } from './load-line.ts'
import { medialShare } from './medial-share.ts'
import type { Loop } from './polygon-moments.ts'
import type { PressureMap } from './pressure-map.ts'
import type { Profile } from './profile.ts'

/** Contact of one compartment, with the half-space figure beside the layer's. */
export interface BearingLoad extends CompartmentContact {
  /** Peak of two elastic half-spaces of the same radii (Hertz); the truth for a thick layer lies between. */
  readonly hertzPeakMpa: number | null
}

export interface BearingLoads {
  /** null where that condyle has lifted off. */
  readonly medial: BearingLoad | null
  readonly lateral: BearingLoad | null
  readonly slidMm: readonly [lateral: number, anterior: number]
  readonly shearHeld: boolean
}

export interface InterfaceLoad extends InterfacePressure {
  /** Where the load's line meets the bone, from the tray's centre: lateral, anterior, mm. */
  readonly atMm: readonly [number, number]
}

export interface ContactUnderLoad {
  readonly medialShare: number
  readonly bearing: BearingLoads | null
  readonly map: PressureMap | null
  readonly interface: InterfaceLoad | null
  /** Pressures under the tray on the region that bears; the edge of that region stands in `base`. */
  readonly interfaceMap: PressureMap | null
  /** What could not be solved, and why. */
  readonly failures: readonly Failure[]
  readonly liftsOff: 'medial' | 'lateral' | null
}

export interface ContactInput {
  readonly geometry: BearingGeometry
  readonly pose: RelativePose
  /** On the tray, N, in the frame of `line`. */
  readonly force: Vec3
  readonly line: LoadLine
  /** Middles of the medial and lateral compartments across, lateral positive, mm. */
  readonly compartmentsMm: readonly [medial: number, lateral: number]
  /** What bears under the tray: the region common to tray and resected bone, in tray coordinates. */
  readonly base: readonly Loop[]
  readonly cellMm: number
  /** A medial partial tray carries its compartment's share only. */
  readonly medialOnly: boolean
}

/** Share of the compartments alone: cheap enough to follow the hand. */
export function shareOf({ line, compartmentsMm }: Pick<ContactInput, 'line' | 'compartmentsMm'>) {
  const [medial, lateral] = compartmentsMm
  return medialShare((medial + lateral) / 2 - line.atLateralMm, lateral - medial)
}

/**
 * Bearing contact and interface pressure of one pose under one force. The load acts where the hip–ankle line crosses
 * the bearing; a share outside 0…1 lifts one condyle off, the other then carries all. The interface gets the
 * contact's own centre of pressure, carried down the force's line to the bone.
 */
export function contactUnderLoad(input: ContactInput): ContactUnderLoad {
  const { geometry, pose, force, line, base, cellMm, medialOnly } = input
  const { share, liftsOff } = shareOf(input)
  const carried = medialOnly ? Math.max(0, Math.min(1, share)) : 1
  const compressionN = -dot(force, line.normal) * carried
  if (!(compressionN > 0))
    return {
      medialShare: share,
      bearing: null,
      map: null,
      interface: null,
      interfaceMap: null,
      failures: [],
      liftsOff,
    }
  const lateralN = dot(force, line.lateral) * carried
  const anteriorN = dot(force, line.anterior) * carried
  const only = medialOnly ? null : liftsOff === 'lateral' ? 'medial' : liftsOff === 'medial' ? 'lateral' : null
  const solved = solveBearing(
    geometry,
    pose,
    { compressionN, lateralN, anteriorN, atLateralMm: line.atLateralMm },
    { cellMm, only },
  )
  const failures: Failure[] = solved.ok ? [] : [solved.failure]
  const above = solved.ok ? solved.value.centreMm : ([line.atLateralMm, geometry.dishForwardMm] as const)
  const atMm: readonly [number, number] = [
    above[0] + (lateralN / compressionN) * line.heightMm,
    above[1] + (anteriorN / compressionN) * line.heightMm,
  ]
  const pressed = interfacePressure(base, compressionN, atMm)
  if (!pressed.ok) failures.push(pressed.failure)
  return {
    medialShare: share,
    bearing: solved.ok ? bearingLoads(solved.value, geometry) : null,
    map: solved.ok ? mapOf(solved.value) : null,
    interface: pressed.ok ? { ...pressed.value, atMm } : null,
    interfaceMap: pressed.ok ? interfaceMap(base, pressed.value, cellMm) : null,
    failures,
    liftsOff,
  }
}

function bearingLoads(solution: BearingSolution, geometry: BearingGeometry): BearingLoads {
  const withHertz = (contact: CompartmentContact | null): BearingLoad | null =>
    contact && { ...contact, hertzPeakMpa: hertzPeak(contact.loadN, geometry) }
  return {
    medial: withHertz(solution.medial),
    lateral: withHertz(solution.lateral),
    slidMm: solution.slidMm,
    shearHeld: solution.shearHeld,
  }
}

function mapOf({ field, pressureMpa }: BearingSolution): PressureMap {
  const { cellMm, columns, rows, lowX, lowY } = field
  return { cellMm, columns, rows, low: [lowX, lowY], pressureMpa }
}

/** Mean curvature of both planes in one sphere; null for a profile that has no radius. */
function hertzPeak(loadN: number, geometry: BearingGeometry): number | null {
  const across = pairRadius(geometry.femoralCoronal, geometry.insertCoronal)
  const along = pairRadius(geometry.femoralSagittal, geometry.insertSagittal)
  if (across === null || along === null) return null
  const { modulusMpa, poisson } = geometry.foundation
  return pointContact(loadN, Math.sqrt(across * along), effectiveModulus([{ modulusMpa, poisson }])).peakMpa
}

function pairRadius(condyle: Profile, dish: Profile): number | null {
  if (condyle.kind !== 'arc' || dish.kind !== 'arc' || condyle.flatMm > 0) return null
  const radius = effectiveRadius(condyle.radiusMm, -dish.radiusMm)
  return Number.isFinite(radius) && radius > 0 ? radius : null
}
