import type { CaseDocument } from '../../casefile/document.ts'
import type { Findings } from '../../findings.ts'
import type { PlannedCut } from '../../planning/planned.ts'
import type { CutDeparture, CutId, CutOverrides, FemoralCutId, Procedure, RecipeOptions } from '../../planning/terms.ts'
import type { DocumentField } from './document-field.ts'

type NumbersOf<T> = { readonly [K in keyof T]: T[K] extends number | null ? K : never }[keyof T]
type TibiaKey = NumbersOf<CutOverrides['tibia']>
type FemurKey = NumbersOf<CutOverrides['femur']>

const cutOf = (findings: Findings, id: CutId): PlannedCut | undefined => findings.cuts.find((cut) => cut.id === id)

const tibiaField = (
  key: TibiaKey,
  label: string,
  step: string,
  quantity: 'deg' | 'mm',
  shown: (cut: PlannedCut) => number | null,
  range: { readonly min: number; readonly max: number },
): DocumentField => ({
  label,
  step,
  quantity,
  ...range,
  initial: null,
  read: (document) => document.cuts.tibia[key],
  shown: (findings) => {
    const cut = cutOf(findings, 'tibia')
    return cut ? shown(cut) : null
  },
  write: (document, value): CaseDocument => ({
    ...document,
    cuts: { ...document.cuts, tibia: { ...document.cuts.tibia, [key]: value } },
  }),
})

const femurField = (
  key: FemurKey,
  label: string,
  step: string,
  quantity: 'deg' | 'mm',
  shown: (findings: Findings) => number | null,
  range: { readonly min: number; readonly max: number },
): DocumentField => ({
  label,
  step,
  quantity,
  ...range,
  initial: null,
  read: (document) => document.cuts.femur[key],
  shown,
  write: (document, value): CaseDocument => ({
    ...document,
    cuts: { ...document.cuts, femur: { ...document.cuts.femur, [key]: value } },
  }),
})

const degrees = { min: -25, max: 25 }

function depthField(label: string): DocumentField {
  return tibiaField('depthMm', label, 'tibia depth', 'mm', (cut) => cut.depthMm, { min: 0, max: 40 })
}

/** The same number under the name of the place at which it starts. */
const depthFields: Readonly<Record<RecipeOptions['tibialDepthFrom'], DocumentField>> = {
  lateral: depthField('Depth, lateral plateau'),
  medial: depthField('Depth, medial plateau'),
  mean: depthField('Depth, mean of both plateaus'),
}

/** The numbers of the tibial cut, as the recipe gives them until one is entered. */
export const tibialCutFields = {
  varus: tibiaField('varusDeg', 'Varus', 'tibia varus', 'deg', (cut) => cut.varusDeg, degrees),
  slope: tibiaField('slopeDeg', 'Posterior slope', 'tibia slope', 'deg', (cut) => cut.slopeDeg, degrees),
  depth: depthField('Depth, lateral plateau'),
  rotation: tibiaField('rotationDeg', 'Tray rotation, external', 'tray rotation', 'deg', (cut) => cut.rotationDeg, {
    min: -45,
    max: 45,
  }),
} as const

const shifts = { min: -20, max: 20 }
const unshifted = () => 0

/** Further numbers of the tibial cut and tray: those of the vertical cut for a partial, the tray's shift for a total. */
const vertical = tibiaField('verticalMm', 'Vertical cut, medial of the centre', 'vertical cut', 'mm', () => null, {
  min: -10,
  max: 25,
})
export const verticalField: DocumentField = {
  ...vertical,
  shown: (findings) => cutOf(findings, 'tibia-vertical')?.depthMm ?? null,
}
export const trayShifts = [
  tibiaField('shiftLateralMm', 'Tray shift, lateral', 'tray shift', 'mm', unshifted, shifts),
  tibiaField('shiftAnteriorMm', 'Tray shift, anterior', 'tray shift forward', 'mm', unshifted, shifts),
] as const

/** The fields of the tibial cut for a procedure; `depthFrom` names where an entered depth starts in a total. */
export function tibialFieldsOf(
  procedure: Procedure,
  depthFrom: RecipeOptions['tibialDepthFrom'],
): readonly DocumentField[] {
  const { varus, slope, rotation } = tibialCutFields
  return procedure === 'total'
    ? [varus, slope, depthFields[depthFrom], rotation, ...trayShifts]
    : [varus, slope, depthFields.medial, rotation, verticalField, ...trayShifts]
}

/** The numbers of the femoral component's place, which all its cuts follow. */
export const femoralCutFields = {
  valgus: femurField('valgusDeg', 'Valgus', 'femur valgus', 'deg', (f) => f.femoralPlace.valgusDeg, degrees),
  flexion: femurField('flexionDeg', 'Flexion', 'femur flexion', 'deg', (f) => f.femoralPlace.flexionDeg, degrees),
  depth: femurField('distalMm', 'Depth, distal medial', 'femur depth', 'mm', (f) => f.femoralPlace.distalMm, {
    min: 0,
    max: 40,
  }),
  rotation: femurField(
    'rotationDeg',
    'External rotation',
    'femur rotation',
    'deg',
    (f) => f.femoralPlace.externalRotationDeg,
    degrees,
  ),
  posterior: femurField(
    'posteriorMm',
    'Depth, posterior medial',
    'posterior depth',
    'mm',
    (f) => f.femoralPlace.posteriorMm,
    { min: 0, max: 40 },
  ),
  shift: femurField('shiftLateralMm', 'Component shift, lateral', 'femoral shift', 'mm', unshifted, shifts),
} as const

/** The numbers of one femoral cut alone: how it departs from the component's face. */
export const departureFields = (id: FemoralCutId) =>
  ({
    deeper: departureField(id, 'deeperMm', 'Deeper than the component', 'mm', 10),
    flexion: departureField(id, 'flexionDeg', 'Turned as in flexion', 'deg', 15),
    medial: departureField(id, 'medialDeg', 'Medial edge deeper', 'deg', 15),
  }) as const

function departureField(
  id: FemoralCutId,
  key: keyof CutDeparture,
  label: string,
  quantity: 'deg' | 'mm',
  most: number,
): DocumentField {
  return {
    label,
    step: `${id.replace('femur-', '').replace('-', ' ')} cut alone, ${label.toLowerCase()}`,
    quantity,
    min: -most,
    max: most,
    initial: 0,
    read: (document) => document.cuts.departures[id][key],
    write: (document, value): CaseDocument => {
      const { departures } = document.cuts
      const changed = { ...departures, [id]: { ...departures[id], [key]: value ?? 0 } }
      return { ...document, cuts: { ...document.cuts, departures: changed } }
    },
  }
}

/** How many cells of the cuts the case sets otherwise than the recipe would. */
export const enteredCells = ({ tibia, femur, departures }: CutOverrides): number =>
  [...Object.values(tibia), ...Object.values(femur)].filter((value) => value !== null).length +
  Object.values(departures)
    .flatMap((one) => Object.values(one))
    .filter((value) => value !== 0).length
