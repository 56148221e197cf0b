import { type Side, sideFactor, type TibiaAnatomy } from '../anatomy/terms.ts'
import type { Warning } from '../failure.ts'
import { mapVector } from '../geometry/rigid.ts'
import { dot, scale, toRad, type Vec3 } from '../geometry/vec.ts'
import type { OwnFamily } from '../implants/families.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import type { Standing } from '../stance/standing.ts'
import type { PoseName } from '../stance/terms.ts'
import {
  type BearingChoices,
  bearingAssumptions,
  bearingGeometry,
  bearingHeightMm,
  isMobile,
} from './bearing-geometry.ts'
import {
  type BearingLoads,
  type ContactUnderLoad,
  contactUnderLoad,
  type InterfaceLoad,
  shareOf,
} from './contact-under-load.ts'
import { type Facing, facingAssumption, facingComponents, poseOf } from './facing-components.ts'
import { kneeForceN, type LoadChoices, loadAssumptions } from './knee-force.ts'
import { inTrayPlane, type LoadLine, loadLine } from './load-line.ts'
import type { Loop } from './polygon-moments.ts'
import type { PressureMap } from './pressure-map.ts'
import { commonStrips } from './strips.ts'
import { forceAlong, type TrayLoad, trayLoad } from './tray-load.ts'

export type LoadDirection = 'vertical' | 'tibial-axis' | 'own'

/** One pose under one direction of load. N and MPa; null where withheld or not asked for. */
export interface Load extends TrayLoad {
  readonly pose: PoseName
  readonly direction: LoadDirection
  readonly loadN: number
  /** Never clipped: beyond 0…1 one condyle lifts off. */
  readonly medialShare: number
  readonly interfacePeakMpa: number | null
  readonly interface: InterfaceLoad | null
  readonly bearing: BearingLoads | null
  /** How the femoral component stands over the tray in this pose. */
  readonly facing: Facing
}

/** Pressures of one load for a map: on the bearing, or on the resected bone under the tray. */
export interface LoadMap extends PressureMap {
  readonly where: 'bearing' | 'tray'
  readonly pose: PoseName
  readonly direction: LoadDirection
}

export interface Loads {
  readonly loads: readonly Load[]
  readonly maps: readonly LoadMap[]
  readonly assumptions: readonly Assumption[]
  readonly warnings: readonly Warning[]
}

export interface LoadsInput {
  readonly side: Side
  readonly poses: readonly Standing[]
  readonly tibia: TibiaAnatomy
  readonly plan: Pick<Plan, 'tray' | 'implants' | 'procedure' | 'components'>
  /** Outlines of the resected tibia in its patient frame; null in the live set, which leaves contact out. */
  readonly section: readonly (readonly Vec3[])[] | null
  readonly load: LoadChoices
  readonly bearing: BearingChoices
  /** Whether the files share a pose, so that the rotation between the bones is known. */
  readonly rotationKnown: boolean
  /** The case's own component family, if it has one. */
  readonly ownFamily: OwnFamily | null
}

/** Grid of the contact inside an assessment, mm: about 1 % on peak pressure. */
const cellMm = 0.5

/**
 * Shear, compression, share, interface and bearing in every pose, for both directions of load: straight down, and
 * down the tibial mechanical axis. A direction that does not press on the tray is left out with a warning.
 */
export function loadEveryPose(input: LoadsInput): Loads {
  const { side, poses, tibia, plan, section, load, bearing } = input
  const { tray } = plan
  const toPlane = inTrayPlane(tray)
  const outline = tray.outline.map(toPlane)
  const base = section
    ? commonStrips(
        section.map((loop) => loop.map(toPlane)),
        [outline],
      )
    : null
  const compartments = compartmentsOf(input, outline)
  const setting: Setting = { input, outline, base, compartments, solved: new Map() }
  const mobile = isMobile(plan, input.ownFamily)
  const warnings: Warning[] = []
  const loads: Load[] = []
  const maps: LoadMap[] = []
  for (const standing of poses) {
    const line = loadLine(standing, tray, side, bearingHeightMm(plan, input.ownFamily))
    const axes = { normal: line.normal, medial: scale(line.lateral, -1), posterior: scale(line.anterior, -1) }
    const facing = facingComponents({
      choices: bearing,
      components: plan.components,
      side,
      standing,
      line,
      trayCentre: tray.centre,
      dishesLateralMm: dishesLateralMm(input, outline),
      dishesForwardMm: dishesForwardMm(outline),
      rotationKnown: input.rotationKnown,
      mobile,
    })
    const loadN = kneeForceN(standing.pose, load)
    const axis = mapVector(standing.stanceFromTibia, scale(tibia.frame.y, -1))
    for (const [direction, down] of directionsOf(load, side, axis)) {
      const force = forceAlong(down, loadN)
      const pressed = trayLoad(force, axes)
      if (!pressed) {
        warnings.push(noCompression(standing.pose, direction))
        continue
      }
      const contact = contactOf(setting, standing, line, force, facing)
      if (contact) warnings.push(...contactWarnings(contact, `loading.${loads.length}`, standing.pose, plan.procedure))
      const at = { pose: standing.pose, direction }
      if (contact && facing.rotationSource === 'plan-and-pose' && Math.abs(facing.rotationDeg) > mostRotationDeg)
        warnings.push(turnedFar(standing.pose, facing.rotationDeg, `loading.${loads.length}`))
      if (contact?.map) maps.push({ where: 'bearing', ...at, ...contact.map })
      if (contact?.interfaceMap) maps.push({ where: 'tray', ...at, ...contact.interfaceMap })
      loads.push({
        pose: standing.pose,
        direction,
        loadN,
        ...pressed,
        medialShare: shareOf({ line, compartmentsMm: compartments }).share,
        interfacePeakMpa: contact?.interface?.peakMpa ?? null,
        interface: contact?.interface ?? null,
        bearing: contact?.bearing ?? null,
        facing,
      })
    }
  }
  const assumptions = [
    ...loadAssumptions(load),
    ...bearingAssumptions(bearing, plan.implants.insertMm),
    facingAssumption(bearing, input.rotationKnown, mobile),
    fixation,
  ]
  return {
    loads,
    maps,
    assumptions,
    warnings: [...merged(warnings, loads.length), ...(section ? [] : [contactLeftOut])],
  }
}

/** Vertical and along the tibia always; an own direction where one is entered. Stance frame, pointing down. */
function directionsOf({ ownLateralDeg, ownForwardDeg }: LoadChoices, side: Side, axis: Vec3): [LoadDirection, Vec3][] {
  const always: [LoadDirection, Vec3][] = [
    ['vertical', [0, -1, 0]],
    ['tibial-axis', axis],
  ]
  if (ownLateralDeg === null && ownForwardDeg === null) return always
  const lateral = sideFactor(side) * Math.tan(toRad(ownLateralDeg ?? 0))
  return [...always, ['own', [-Math.tan(toRad(ownForwardDeg ?? 0)), -1, -lateral]]]
}

interface Setting {
  readonly input: LoadsInput
  readonly outline: Loop
  readonly base: readonly Loop[] | null
  readonly compartments: readonly [medial: number, lateral: number]
  /** Poses that load the tray alike are solved once. */
  readonly solved: Map<string, ContactUnderLoad>
}

/** Middles of the compartments across the tray: the dishes of a total, the plateau points under a partial. */
export function compartmentsOf(
  {
    plan,
    tibia,
    bearing,
    ownFamily,
  }: Pick<LoadsInput, 'tibia' | 'bearing' | 'ownFamily'> & {
    readonly plan: Pick<Plan, 'tray' | 'implants' | 'procedure'>
  },
  outline: Loop,
): readonly [number, number] {
  const toPlane = inTrayPlane(plan.tray)
  if (plan.procedure === 'medial-partial') return [toPlane(tibia.medial.point)[0], toPlane(tibia.lateral.point)[0]]
  const geometry = bearingGeometry(plan, bearing, { outline }, 0, ownFamily)
  if (geometry.ok && geometry.value.dishesMm.length === 2) {
    const [medial, lateral] = geometry.value.dishesMm as readonly [number, number]
    return [medial, lateral]
  }
  return [toPlane(tibia.medial.point)[0], toPlane(tibia.lateral.point)[0]]
}

/** Middle of the dishes lateral of the tray's own: those of a total lie to both sides of it, that of a partial under its outline. */
function dishesLateralMm({ plan }: Pick<LoadsInput, 'plan'>, outline: Loop): number {
  if (plan.procedure === 'total' || outline.length === 0) return 0
  const xs = outline.map(([x]) => x)
  return (Math.min(...xs) + Math.max(...xs)) / 2
}

/** Middle of the dishes ahead of the tray's own: half way along the outline. */
function dishesForwardMm(outline: Loop): number {
  if (outline.length === 0) return 0
  const ys = outline.map(([, y]) => y)
  return (Math.min(...ys) + Math.max(...ys)) / 2
}

function contactOf(
  setting: Setting,
  standing: Standing,
  line: LoadLine,
  force: Vec3,
  facing: Facing,
): ContactUnderLoad | null {
  const { input, outline, base, compartments, solved } = setting
  if (!base) return null
  const { plan, bearing } = input
  const geometry = bearingGeometry(plan, bearing, { outline }, standing.flexionDeg, input.ownFamily)
  if (!geometry.ok)
    return {
      medialShare: 0.5,
      bearing: null,
      map: null,
      interface: null,
      interfaceMap: null,
      failures: [geometry.failure],
      liftsOff: null,
    }
  const { tiltDeg, rotationDeg, shiftLateralMm, shiftAnteriorMm } = facing
  const onTray = [dot(force, line.lateral), dot(force, line.anterior), dot(force, line.normal), line.atLateralMm]
  const inTray = [...onTray, tiltDeg, rotationDeg, shiftLateralMm, shiftAnteriorMm]
  const key = [...inTray.map((v) => v.toPrecision(9)), standing.flexionDeg].join()
  const known = solved.get(key)
  if (known) return known
  const contact = contactUnderLoad({
    geometry: geometry.value,
    pose: poseOf(facing, geometry.value),
    force,
    line,
    compartmentsMm: compartments,
    base,
    cellMm,
    medialOnly: plan.procedure === 'medial-partial',
  })
  solved.set(key, contact)
  return contact
}

function contactWarnings(
  contact: ContactUnderLoad,
  at: string,
  pose: PoseName,
  procedure: Plan['procedure'],
): Warning[] {
  const { bearing, failures, liftsOff } = contact
  const warnings: Warning[] = []
  const warn = (code: string, message: string, spoils: readonly string[]) => warnings.push({ code, message, spoils })
  if (liftsOff && procedure === 'total')
    warn(
      'loading/lift-off',
      `In the pose “${pose}” the load line passes outside the condyles: the ${liftsOff} one lifts off in this model without muscles.`,
      [`${at}.medialShare`, `${at}.bearing.${liftsOff}`],
    )
  for (const failure of failures)
    warn('loading/no-solution', failure.message, [
      failure.place === 'loading.interface' ? `${at}.interface` : `${at}.bearing`,
      ...(failure.place === 'loading.interface' ? [`${at}.interfacePeakMpa`] : []),
    ])
  if (bearing === null && failures.length === 0)
    warn('loading/unloaded', 'The load line passes so far to the other side that this compartment carries nothing.', [
      `${at}.bearing`,
      `${at}.interface`,
      `${at}.interfacePeakMpa`,
    ])
  if (!bearing) return warnings
  if (!bearing.shearHeld)
    warn('loading/shear-not-held', 'The insert cannot hold the shear by its shape; soft tissue would have to.', [
      `${at}.bearing`,
    ])
  for (const side of ['medial', 'lateral'] as const) {
    const condyle = bearing[side]
    if (!condyle && side !== liftsOff && procedure === 'total')
      warn('loading/lift-off', `In the pose “${pose}” the ${side} condyle lifts off.`, [`${at}.bearing.${side}`])
    if (!condyle && procedure === 'medial-partial' && side === 'lateral')
      warn('loading/native', 'The lateral compartment stays native; its contact is not modelled.', [
        `${at}.bearing.lateral`,
      ])
    if (condyle && condyle.halfWidthToThickness < 1)
      warn(
        'loading/thick-layer',
        'The patch is narrower than the insert is thick: the thin-layer law gives too high a peak; the half-space figure stands beside it.',
        [`${at}.bearing.${side}.peakMpa`],
      )
    if (condyle && condyle.hertzPeakMpa === null)
      warn('loading/no-half-space', 'These surfaces have no radius to compare with half-spaces.', [
        `${at}.bearing.${side}.hertzPeakMpa`,
      ])
  }
  return warnings
}

/** Equal messages become one warning with all their paths; a path in every load is written once with `*`. */
function merged(warnings: readonly Warning[], loads: number): Warning[] {
  const byText = new Map<string, Warning>()
  for (const warning of warnings) {
    const key = `${warning.code}|${warning.message}`
    const known = byText.get(key)
    byText.set(key, { ...warning, spoils: [...new Set([...(known?.spoils ?? []), ...warning.spoils])] })
  }
  return [...byText.values()].map((warning) => ({ ...warning, spoils: withStars(warning.spoils, loads) }))
}

function withStars(spoils: readonly string[], loads: number): readonly string[] {
  const starred = spoils.map((path) => path.replace(/^loading\.\d+\./, 'loading.*.'))
  const everywhere = new Set(starred.filter((path) => starred.filter((other) => other === path).length === loads))
  return [...new Set(spoils.map((path, i) => (everywhere.has(starred[i]!) ? starred[i]! : path)))]
}

const noCompression = (pose: PoseName, direction: LoadDirection): Warning => ({
  code: 'load/no-compression',
  message: `In the pose “${pose}” the ${direction} load does not press on the tray.`,
  spoils: ['loading'],
})

/** An insert does not face a component turned further over it in a knee that stands; our limit, no source. */
const mostRotationDeg = 15

const turnedFar = (pose: PoseName, rotationDeg: number, at: string): Warning => ({
  code: 'loading/turned-far',
  message: `In the pose “${pose}” the femoral component stands turned by ${rotationDeg.toFixed(0)}° over the tray, as the files and the plan have it: further than a standing knee does. Enter the rotation on the bearing, or turn the tray.`,
  spoils: [`${at}.bearing`],
})

const contactLeftOut: Warning = {
  code: 'loading/not-asked',
  message: 'Interface pressure and bearing contact follow when the hand rests.',
  spoils: ['loading.*.interfacePeakMpa', 'loading.*.interface', 'loading.*.bearing'],
}

const fixation: Assumption = {
  what: 'fixation interface',
  value: 'rigid tray on an elastic bed that presses and does not pull, on the resected outline under the tray',
  basis: 'keel and pegs left out; bone strength varies by up to 100 times with the place, so no single pass line',
}
