import { assessFully, tibialOutlines } from '../assess.ts'
import type { Bones } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Findings } from '../findings.ts'
import { bearingGeometry, bearingHeightMm } from '../loading/bearing-geometry.ts'
import { type ContactUnderLoad, contactUnderLoad } from '../loading/contact-under-load.ts'
import { type Facing, poseOf } from '../loading/facing-components.ts'
import { inTrayPlane, type LoadLine } from '../loading/load-line.ts'
import { compartmentsOf } from '../loading/loads.ts'
import { commonStrips } from '../loading/strips.ts'
import type { Assumption } from '../planning/planned.ts'
import { csvRows } from './csv-table.ts'
import type { StudyCell, StudyColumn } from './sweep.ts'

/** One moment of a load series: the force of the femur on the insert in tray axes, and where it acts across. */
export interface LoadMoment {
  readonly time: number
  readonly axialN: number
  readonly lateralN: number
  readonly anteriorN: number
  readonly atLateralMm: number
  readonly flexionDeg: number
}

export interface LoadSeries {
  readonly columns: readonly StudyColumn[]
  readonly rows: readonly (readonly StudyCell[])[]
  readonly assumptions: readonly Assumption[]
}

const fields = [
  ['time', null],
  ['axial_N', null],
  ['lateral_N', 0],
  ['anterior_N', 0],
  ['at_lateral_mm', 0],
  ['flexion_deg', 0],
] as const

/**
 * Reads a load series: a CSV whose head names `time` and `axial_N`, and any of `lateral_N`, `anterior_N`,
 * `at_lateral_mm`, `flexion_deg`. A cell that is no number is a failure that names its row and column.
 */
export function parseLoadSeries(text: string): Result<readonly LoadMoment[]> {
  const table = csvRows(text)
  if (!table.ok) return table
  const [head, ...rows] = table.value
  if (!head || rows.length === 0) return fail('case/syntax', 'The load series holds no rows.', { place: 'line 1' })
  const unknown = head.find((name) => !fields.some(([known]) => known === name))
  if (unknown !== undefined)
    return fail('case/unknown-path', `The load series has a column “${unknown}” that means nothing here.`, {
      hint: `Columns: ${fields.map(([name]) => name).join(', ')}.`,
      place: unknown,
    })
  const moments: LoadMoment[] = []
  for (const [k, row] of rows.entries()) {
    const values: number[] = []
    for (const [name, otherwise] of fields) {
      const at = head.indexOf(name)
      const cell = at < 0 ? '' : (row[at] ?? '')
      const value = cell === '' ? otherwise : Number(cell)
      if (value === null || !Number.isFinite(value))
        return fail('case/syntax', `${name} is no number in row ${k + 1} of the load series.`, {
          place: `row ${k + 1}, ${name}`,
        })
      values.push(value)
    }
    const [time = 0, axialN = 0, lateralN = 0, anteriorN = 0, atLateralMm = 0, flexionDeg = 0] = values
    moments.push({ time, axialN, lateralN, anteriorN, atLateralMm, flexionDeg })
  }
  return ok(moments)
}

/**
 * Bearing contact and interface pressure of the planned components along a load series; the cuts and components of the
 * case stay. A moment without compression or balance is a row with the failure's code.
 */
export function runLoadSeries(
  document: CaseDocument,
  bones: Bones,
  moments: readonly LoadMoment[],
): Result<LoadSeries> {
  const assessed = assessFully(document, bones)
  if (!assessed.ok) return assessed
  const { plan, anatomy, findings } = assessed.value
  const toPlane = inTrayPlane(plan.tray)
  const outline = plan.tray.outline.map(toPlane)
  const base = commonStrips(
    tibialOutlines(plan, bones).map((loop) => loop.map(toPlane)),
    [outline],
  )
  const ownFamily = document.implants.own
  const facing = standingFacing(document, findings.loading)
  const compartmentsMm = compartmentsOf({ plan, tibia: anatomy.tibia, bearing: document.bearing, ownFamily }, outline)
  const rows: (readonly StudyCell[])[] = []
  for (const moment of moments) {
    const geometry = bearingGeometry(plan, document.bearing, { outline }, moment.flexionDeg, ownFamily)
    if (!geometry.ok) return geometry
    const line: LoadLine = {
      normal: [0, 1, 0],
      lateral: [0, 0, 1],
      anterior: [1, 0, 0],
      atLateralMm: moment.atLateralMm,
      atAnteriorMm: 0,
      heightMm: bearingHeightMm(plan, ownFamily),
    }
    const contact = contactUnderLoad({
      geometry: geometry.value,
      pose: poseOf(facing, geometry.value),
      force: [moment.anteriorN, -moment.axialN, moment.lateralN],
      line,
      compartmentsMm,
      base,
      cellMm: 0.5,
      medialOnly: plan.procedure === 'medial-partial',
    })
    rows.push(rowOf(moment, contact))
  }
  return ok({ columns, rows, assumptions: findings.assumptions })
}

/** The components face each other along the series as in the pose the case shows; entered numbers where it cannot be stood. */
function standingFacing({ stance, bearing }: CaseDocument, loading: Findings['loading']): Facing {
  const shown = loading.find((load) => load.pose === stance.pose) ?? loading[0]
  if (shown) return shown.facing
  const { tiltDeg, rotationDeg, shiftLateralMm } = bearing
  return {
    tiltDeg: tiltDeg ?? 0,
    rotationDeg: rotationDeg ?? 0,
    shiftLateralMm: shiftLateralMm ?? 0,
    shiftAnteriorMm: 0,
    tiltSource: 'entered',
    rotationSource: 'entered',
    shiftSource: 'entered',
  }
}

const contactKeys = ['loadN', 'peakMpa', 'areaMm2', 'edgeDistanceMm', 'outerTenthShare'] as const
const unitOf = { loadN: 'N', peakMpa: 'MPa', areaMm2: 'mm2', edgeDistanceMm: 'mm', outerTenthShare: '' } as const
const sides = ['medial', 'lateral'] as const

const columns: readonly StudyColumn[] = [
  { name: 'time', unit: '' },
  { name: 'axial', unit: 'N' },
  { name: 'lateral', unit: 'N' },
  { name: 'anterior', unit: 'N' },
  { name: 'atLateral', unit: 'mm' },
  { name: 'flexion', unit: 'deg' },
  { name: 'medialShare', unit: '' },
  { name: 'interfacePeak', unit: 'MPa' },
  { name: 'interfaceLiftOffShare', unit: '' },
  ...sides.flatMap((side) => contactKeys.map((key) => ({ name: `${side}.${key}`, unit: unitOf[key] }))),
  ...sides.map((side) => ({ name: `${side}.edgeLoaded`, unit: '0 or 1' })),
  { name: 'failure', unit: '' },
]

function rowOf(moment: LoadMoment, contact: ContactUnderLoad): readonly StudyCell[] {
  const { time, axialN, lateralN, anteriorN, atLateralMm, flexionDeg } = moment
  return [
    time,
    axialN,
    lateralN,
    anteriorN,
    atLateralMm,
    flexionDeg,
    contact.medialShare,
    contact.interface?.peakMpa ?? null,
    contact.interface?.liftOffShare ?? null,
    ...sides.flatMap((side) => contactKeys.map((key) => contact.bearing?.[side]?.[key] ?? null)),
    ...sides.map((side) => {
      const condyle = contact.bearing?.[side]
      return condyle ? Number(condyle.edgeLoaded) : null
    }),
    contact.failures[0]?.code ?? (axialN > 0 ? null : 'load/out-of-range'),
  ]
}
