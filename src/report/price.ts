import type { Findings } from '../findings.ts'
import type { Correction, RestrictedAnswer } from '../planning/planned.ts'
import type { SiteId } from '../planning/terms.ts'
import { boundBeside } from './bounded.ts'
import { type Quantity, shownWithUnit } from './numbers.ts'
import { limitNames, siteWords } from './words.ts'

/** One number of what a plan changes or costs; window, report and command line lay out the same ones. */
export interface PriceRow {
  readonly label: string
  /** Where it stands in the findings. */
  readonly path: string
  readonly quantity: Quantity
  readonly read: (findings: Findings) => number | null
  /** How far it may be from the truth where surface is missing; left out where it is exact. */
  readonly bound?: (findings: Findings) => number | undefined
  /** Shown without a plus sign. */
  readonly plain?: boolean
}

export interface PriceGroup {
  readonly title: string
  readonly note: string
  readonly applies: (findings: Findings) => boolean
  readonly rows: readonly PriceRow[]
}

const always = () => true
const total = (findings: Findings) => findings.procedure === 'total'

type ChangeKey =
  | 'tibialShiftMedialMm'
  | 'tibialShiftLateralMm'
  | 'posteriorOffsetChangeMedialMm'
  | 'posteriorOffsetChangeLateralMm'
  | 'legLengthChangeMm'
  | 'notchMm'

const change = (label: string, key: ChangeKey): PriceRow => ({
  label,
  path: `consequences.${key}`,
  quantity: 'mm',
  read: (f) => f.consequences[key],
})

const front = (
  label: string,
  key: keyof NonNullable<Findings['consequences']['patellofemoral']>,
  quantity: Quantity,
): PriceRow => ({
  label,
  path: `consequences.patellofemoral.${key}`,
  quantity,
  read: (f) => f.consequences.patellofemoral?.[key] ?? null,
})

const gap = (
  label: string,
  key: 'extensionMedialMm' | 'extensionLateralMm' | 'flexionMedialMm' | 'flexionLateralMm',
): PriceRow => ({ label, path: `gaps.${key}`, quantity: 'mm', read: (f) => f.gaps?.[key] ?? null, plain: true })

const slack = (label: string, key: keyof NonNullable<Findings['gaps']>['slackMm']): PriceRow => ({
  label,
  path: `gaps.slackMm.${key}`,
  quantity: 'mm',
  read: (f) => f.gaps?.slackMm[key] ?? null,
})

const cover = (
  label: string,
  key: 'fraction' | 'largestOverhangMm' | 'largestGapMm',
  quantity: Quantity,
): PriceRow => ({
  label,
  path: `coverage.${key}`,
  quantity,
  read: (f) => f.coverage?.[key] ?? null,
  plain: true,
})

/** What a plan changes between the native knee and the planned one, and how its components fit. */
export const priceGroups: readonly PriceGroup[] = [
  {
    title: 'Before to after',
    note: 'proximal, longer, more +',
    applies: always,
    rows: [
      {
        label: 'Femoral joint line, medial',
        path: 'after.jointLineShiftMedialMm',
        quantity: 'mm',
        read: (f) => f.after.jointLineShiftMedialMm,
      },
      {
        label: 'Femoral joint line, lateral',
        path: 'after.jointLineShiftLateralMm',
        quantity: 'mm',
        read: (f) => f.after.jointLineShiftLateralMm,
      },
      change('Tibial surface, medial', 'tibialShiftMedialMm'),
      change('Tibial surface, lateral', 'tibialShiftLateralMm'),
      change('Posterior offset, medial', 'posteriorOffsetChangeMedialMm'),
      change('Posterior offset, lateral', 'posteriorOffsetChangeLateralMm'),
      change('Leg length', 'legLengthChangeMm'),
      change('Anterior notch', 'notchMm'),
    ],
  },
  {
    title: 'Front of the knee',
    note: 'geometric; the patella is not judged',
    applies: total,
    rows: [
      front('Groove line, native, lateral +', 'grooveNativeDeg', 'deg'),
      front('Groove line, component', 'grooveDeg', 'deg'),
      front('Groove, to lateral', 'grooveLateralShiftMm', 'mm'),
      front('Groove, forward', 'grooveForwardMm', 'mm'),
      front('Flange at its higher ridge, forward', 'ridgeForwardMm', 'mm'),
    ],
  },
  {
    title: 'Tray on the bone',
    note: 'on the cut face',
    applies: always,
    rows: [
      cover('Section covered', 'fraction', 'percent'),
      cover('Largest overhang', 'largestOverhangMm', 'mm'),
      cover('Largest uncovered rim', 'largestGapMm', 'mm'),
    ],
  },
  {
    title: 'Gap',
    note: 'geometric: no ligament, no laxity',
    applies: always,
    rows: [
      gap('Straight, medial', 'extensionMedialMm'),
      gap('Straight, lateral', 'extensionLateralMm'),
      gap('Bent, medial', 'flexionMedialMm'),
      gap('Bent, lateral', 'flexionLateralMm'),
    ],
  },
  {
    title: 'Slack',
    note: 'gap less components; geometric: no ligament, no laxity',
    applies: always,
    rows: [
      slack('Straight, medial', 'extensionMedial'),
      slack('Straight, lateral', 'extensionLateral'),
      slack('Bent, medial', 'flexionMedial'),
      slack('Bent, lateral', 'flexionLateral'),
    ],
  },
  {
    title: 'A later total',
    note: 'planned by the same case on the native bone',
    applies: (f) => f.procedure === 'medial-partial',
    rows: [
      {
        label: 'Tibial bone left above its cut',
        path: 'conversion.tibialBoneLeftMm3',
        quantity: 'cm3',
        read: (f) => f.conversion?.tibialBoneLeftMm3 ?? null,
        bound: (f) => boundBeside(f, 'tibia', f.conversion?.tibialBoneLeftBoundMm3 ?? null),
        plain: true,
      },
      {
        label: 'Deeper, to clear this floor',
        path: 'conversion.deeperMm',
        quantity: 'mm',
        read: (f) => f.conversion?.deeperMm ?? null,
        plain: true,
      },
      {
        label: 'Insert it would need',
        path: 'conversion.insertMm',
        quantity: 'mm',
        read: (f) => f.conversion?.insertMm ?? null,
        plain: true,
      },
      {
        label: 'Insert, had it come first',
        path: 'conversion.plainInsertMm',
        quantity: 'mm',
        read: (f) => f.conversion?.plainInsertMm ?? null,
        plain: true,
      },
    ],
  },
]

/** The unit of a row's number, where it stands in a column of its own. */
export const unitOfRow = ({ quantity }: PriceRow): string => rowUnits[quantity] ?? ''

const rowUnits: Readonly<Partial<Record<Quantity, string>>> = { mm: 'mm', deg: '°', cm3: 'cm³', percent: '%' }

/** Chosen or proposed sizes with the runner-up of a proposal: "8 (proposed; runner-up 7)". */
export function sizeWords(findings: Findings, bone: 'femur' | 'tibia'): string {
  const { implants } = findings
  const runnerUp = implants[`${bone}RunnerUp`]
  const beside = runnerUp === null ? '' : `; runner-up ${runnerUp}`
  return `${implants[`${bone}Size`]} (${implants[`${bone}SizeSource`]}${beside})`
}

/** The answers of the restricted recipe that the findings hold, the one in use first. */
export function restrictedAnswers(findings: Findings): readonly {
  readonly name: string
  readonly answer: Pick<RestrictedAnswer, 'corrections'> & Partial<RestrictedAnswer>
}[] {
  if (findings.recipe !== 'restricted') return []
  const { restriction, corrections } = findings
  if (!restriction) return corrections ? [{ name: 'Held to the joint line limits', answer: { corrections } }] : []
  return [
    { name: 'Rule-of-thumb order', answer: restriction.ruleOfThumb },
    { name: 'Smallest correction', answer: restriction.smallest },
  ]
}

/** Said of an answer without a step. */
export const nothingToCorrect = 'Nothing to correct: the kinematic cuts lie inside the entered limits.'

/** One step: "tibia +1.5° for HKA". */
export const stepWords = ({ bone, deg, limit }: Correction): string =>
  `${bone} ${shownWithUnit(deg, 'deg', true)} for ${limit === 'limb' ? 'the limb axis' : (limitNames[limit] ?? limit)}`

/** What a step costs: sites that move and gaps that change by 0.05 mm or more. */
export function costWords({ siteDeltaMm, gapDeltaMm }: Correction): string {
  const told = (of: Readonly<Record<string, number>>, name: (id: string) => string) =>
    Object.entries(of).flatMap(([id, mm]) =>
      Math.abs(mm) < 0.05 ? [] : [`${name(id)} ${shownWithUnit(mm, 'mm', true)}`],
    )
  const sites = told(siteDeltaMm, (id) => siteWords[id as SiteId] ?? id)
  const gaps = told(gapDeltaMm ?? {}, (id) => gapWords[id] ?? id)
  return [
    sites.length === 0 ? 'no site moves' : sites.join('; '),
    gaps.length === 0 ? 'no gap changes' : `gaps: ${gaps.join('; ')}`,
  ].join('. ')
}

const gapWords: Readonly<Record<string, string>> = {
  extensionMedialMm: 'straight medial',
  extensionLateralMm: 'straight lateral',
  flexionMedialMm: 'bent medial',
  flexionLateralMm: 'bent lateral',
}

/** Where an answer ends: "LDFA 91.0°, MPTA 88.0°, HKA 177.0°; √(Δ² + Δ²) 4.2°". */
export function answerWords({ ldfaDeg, mptaDeg, hkaDeg, normDeg }: Partial<RestrictedAnswer>): string | null {
  if (ldfaDeg === undefined || mptaDeg === undefined || hkaDeg === undefined || normDeg === undefined) return null
  const deg = (v: number) => shownWithUnit(v, 'deg')
  return `LDFA ${deg(ldfaDeg)}, MPTA ${deg(mptaDeg)}, HKA ${deg(hkaDeg)}; ${deg(normDeg)} from the kinematic cuts`
}
