import type { Result } from '../failure.ts'
import { fail, ok } from '../failure.ts'
import { type OwnFamily, partialFamily, sizeOf, totalFamily } from '../implants/families.ts'
import type { Assumption, Plan } from '../planning/planned.ts'
import type { BearingGeometry } from './bearing.ts'
import {
  noOwnProfiles,
  type OwnProfiles,
  ownProfileAssumptions,
  type ProfileTable,
  tableProfile,
} from './own-profiles.ts'
import { arc, type Profile } from './profile.ts'

/** Choices of the case for the bearing. null: as the component family has it. MPa, mm, degrees. */
export interface BearingChoices {
  readonly modulusMpa: number
  readonly poisson: number
  readonly law: 'linear' | 'logarithmic'
  readonly femoralCoronalRadiusMm: number | null
  readonly femoralSagittalRadiusMm: number | null
  readonly insertCoronalRadiusMm: number | null
  readonly insertSagittalRadiusMm: number | null
  /** Across, the condyle's radius becomes the edge radius this far from its middle; null: never. */
  readonly femoralEdgeAtMm: number | null
  readonly femoralEdgeRadiusMm: number
  /** Tables that stand in for the arcs. */
  readonly own: OwnProfiles
  /** Width of a flat in the middle of the femoral condyle, across. */
  readonly femoralFlatMm: number
  /** Flat insert: the radii of the dishes are left out. */
  readonly flatInsert: boolean
  /** Relative pose of femoral component and tray, beside what the load does; null: from plan and pose. */
  readonly tiltDeg: number | null
  readonly rotationDeg: number | null
  readonly shiftLateralMm: number | null
}

/** Polyethylene as in Fregly et al. 2003 (from memory, not verified): E 463 MPa, ν 0.46; matched components facing each other. */
export const defaultBearing: BearingChoices = {
  modulusMpa: 463,
  poisson: 0.46,
  law: 'linear',
  femoralCoronalRadiusMm: null,
  femoralSagittalRadiusMm: null,
  insertCoronalRadiusMm: null,
  insertSagittalRadiusMm: null,
  femoralEdgeAtMm: null,
  femoralEdgeRadiusMm: 4,
  own: noOwnProfiles,
  femoralFlatMm: 0,
  flatInsert: false,
  tiltDeg: null,
  rotationDeg: null,
  shiftLateralMm: null,
}

/** Where the tray's axes, outline and dishes lie, mm in tray coordinates: lateral, anterior. */
export interface TrayPlane {
  readonly outline: readonly (readonly [lateral: number, anterior: number])[]
}

/**
 * The bearing of the planned components in the tray's plane. The dishes are those made for the femoral size (each
 * condyle rests in the lowest point of its own), the rim is the tray's outline; the sagittal radius goes from distal
 * to posterior between 20° and 60° of flexion (our rule). `own` is the case's own family, if it has one. An unknown
 * family or size is a failure.
 */
export function bearingGeometry(
  plan: Pick<Plan, 'implants' | 'procedure'>,
  choices: BearingChoices,
  tray: TrayPlane,
  flexionDeg: number,
  own: OwnFamily | null = null,
): Result<BearingGeometry> {
  const { implants, procedure } = plan
  if (procedure === 'medial-partial') return partialGeometry(implants, choices, tray, flexionDeg, own)
  const family = totalFamily(implants.family, own)
  if (!family.ok) return family
  const femoral = sizeOf(family.value.femoral, implants.femurSize, 'implants.femurSize')
  if (!femoral.ok) return femoral
  const matched = family.value.tibial.find((s) => s.size === implants.femurSize) ?? family.value.tibial.at(-1)
  if (!matched) return fail('plan/impossible-size', 'The family has no tibial sizes.', { place: 'implants.family' })
  const f = femoral.value
  const half = f.crestSpacingMm / 2
  return ok(
    assembled({
      choices,
      tray,
      thicknessMm: implants.insertMm,
      femoralCoronalMm: f.coronalRadiusMm,
      femoralSagittalMm: sagittalRadius(f, flexionDeg),
      insertCoronalMm: matched.insertCoronalRadiusMm,
      insertSagittalMm: matched.insertSagittalRadiusMm,
      middles: [-half, half],
    }),
  )
}

/** Height of the dishes' lowest points above the tray's bone-side face, mm: plate and insert. */
export function bearingHeightMm(
  { implants, procedure }: Pick<Plan, 'implants' | 'procedure'>,
  own: OwnFamily | null = null,
): number {
  const family =
    procedure === 'medial-partial' ? partialFamily(implants.family, own) : totalFamily(implants.family, own)
  const plate = family.ok ? family.value.tibial.find((size) => size.size === implants.tibiaSize)?.trayMm : undefined
  return implants.insertMm + (plate ?? 0)
}

function partialGeometry(
  implants: Plan['implants'],
  choices: BearingChoices,
  tray: TrayPlane,
  flexionDeg: number,
  own: OwnFamily | null,
): Result<BearingGeometry> {
  const family = partialFamily(implants.family, own)
  if (!family.ok) return family
  const femoral = sizeOf(family.value.femoral, implants.femurSize, 'implants.femurSize')
  if (!femoral.ok) return femoral
  const tibial = sizeOf(family.value.tibial, implants.tibiaSize, 'implants.tibiaSize')
  if (!tibial.ok) return tibial
  const xs = tray.outline.map(([x]) => x)
  return ok(
    assembled({
      choices,
      tray,
      thicknessMm: implants.insertMm,
      femoralCoronalMm: femoral.value.coronalRadiusMm,
      femoralSagittalMm: sagittalRadius(femoral.value, flexionDeg),
      insertCoronalMm: tibial.value.insertCoronalRadiusMm,
      insertSagittalMm: tibial.value.insertSagittalRadiusMm,
      middles: [(Math.min(...xs) + Math.max(...xs)) / 2],
    }),
  )
}

interface Measures {
  readonly choices: BearingChoices
  readonly tray: TrayPlane
  readonly thicknessMm: number
  readonly femoralCoronalMm: number
  readonly femoralSagittalMm: number
  readonly insertCoronalMm: number
  readonly insertSagittalMm: number
  readonly middles: readonly number[]
}

function assembled({ choices, tray, middles, ...m }: Measures): BearingGeometry {
  const ys = tray.outline.map(([, y]) => y)
  const coronal = choices.femoralCoronalRadiusMm ?? m.femoralCoronalMm
  const sagittal = choices.femoralSagittalRadiusMm ?? m.femoralSagittalMm
  const { own } = choices
  const dish = (mm: number, ball: number): Profile =>
    choices.flatInsert ? arc(Number.POSITIVE_INFINITY) : arc(Math.max(mm, conformityLimit * ball))
  return {
    femoralCoronal: ownOr(own.femoralCoronal, condyleAcross(coronal, choices)),
    femoralSagittal: ownOr(own.femoralSagittal, arc(sagittal)),
    insertCoronal: ownOr(own.insertCoronal, dish(choices.insertCoronalRadiusMm ?? m.insertCoronalMm, coronal)),
    insertSagittal: ownOr(own.insertSagittal, dish(choices.insertSagittalRadiusMm ?? m.insertSagittalMm, sagittal)),
    condylesMm: middles,
    dishesMm: middles,
    dishForwardMm: (Math.min(...ys) + Math.max(...ys)) / 2,
    rim: tray.outline,
    foundation: {
      modulusMpa: choices.modulusMpa,
      poisson: choices.poisson,
      thicknessMm: m.thicknessMm,
      law: choices.law,
    },
  }
}

const ownOr = (table: ProfileTable | null, otherwise: Profile): Profile =>
  table === null ? otherwise : tableProfile(table)

function condyleAcross(
  radiusMm: number,
  { femoralFlatMm, femoralEdgeAtMm, femoralEdgeRadiusMm }: BearingChoices,
): Profile {
  const main = arc(radiusMm, femoralFlatMm)
  return femoralEdgeAtMm === null || main.kind !== 'arc'
    ? main
    : { ...main, edgeAtMm: Math.max(femoralEdgeAtMm, femoralFlatMm / 2), edgeRadiusMm: femoralEdgeRadiusMm }
}

/** A dish is at least this much wider than the condyle in it: a tighter one would not let it in. */
const conformityLimit = 1.02

function sagittalRadius(
  { distalRadiusMm, posteriorRadiusMm }: { readonly distalRadiusMm: number; readonly posteriorRadiusMm: number },
  flexionDeg: number,
): number {
  const share = Math.min(1, Math.max(0, (flexionDeg - 20) / 40))
  return distalRadiusMm + share * (posteriorRadiusMm - distalRadiusMm)
}

/** Whether the insert turns on its tray. */
export function isMobile(
  { implants, procedure }: Pick<Plan, 'implants' | 'procedure'>,
  own: OwnFamily | null,
): boolean {
  if (procedure === 'medial-partial') return false
  const family = totalFamily(implants.family, own)
  return family.ok && family.value.bearing === 'mobile'
}

/** What the contact takes for granted. */
export function bearingAssumptions(choices: BearingChoices, thicknessMm: number): Assumption[] {
  return [
    {
      what: 'bearing material',
      value: `E ${choices.modulusMpa} MPa, ν ${choices.poisson}, thickness ${thicknessMm} mm, ${choices.law} law`,
      basis:
        'elastic foundation (Bei & Fregly, Med Eng Phys 2004;26:777); E and ν after Fregly et al. 2003, from memory; stiffness changes by 22 % from ν 0.45 to 0.46; pressures above yield are indicative only',
    },
    {
      what: 'bearing shape',
      value: choices.flatInsert ? 'condyles on a flat insert' : 'condyles in dishes made for the femoral size',
      basis: 'generic family; no friction; femoral component rigid',
    },
    ...ownProfileAssumptions(choices.own),
    {
      what: 'edge loaded',
      value: 'patch cut by the rim, or its centre nearer to the rim than half its own width',
      basis: 'our definition; common practice, no source',
    },
  ]
}
