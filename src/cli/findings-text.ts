import { caution, programVersion } from '../casefile/program.ts'
import type { Warning } from '../failure.ts'
import type { Findings } from '../findings.ts'
import type { Assumption } from '../planning/planned.ts'
import { alignedRows } from '../report/aligned.ts'
import { type BesideLoads, besideLoads } from '../report/beside-loads.ts'
import { boundBeside, shownBounded } from '../report/bounded.ts'
import { departingCuts, departureNote, departureWords } from '../report/departures.ts'
import { cautions } from '../report/explanations.ts'
import { limitWords } from '../report/flag-words.ts'
import { shownPlusMinus } from '../report/intervals.ts'
import { type Quantity, shown } from '../report/numbers.ts'
import { sizeWords } from '../report/price.ts'
import { spoiling } from '../report/spoiled.ts'
import {
  cutWords,
  directionWords,
  notJudged,
  poseWords,
  procedureWords,
  sensitivityWords,
  sideSourceWords,
  siteWords,
} from '../report/words.ts'
import { priceText } from './price-text.ts'
import { type Column, textTable, wrapped } from './text-table.ts'

/** The whole findings for a terminal: tables first, then warnings and assumptions. A † marks what a warning touches. */
export function findingsText(findings: Findings): string {
  const cell = marked(findings.warnings)
  return [
    heading(findings),
    block(
      'TAKEN AND PUT BACK',
      'mm; total = piece + kerf + worn; difference = total − component',
      sites(findings, cell),
    ),
    block('CUTS', '', cuts(findings, cell)),
    ...departures(findings, cell),
    block('ALIGNED', '', aligned(findings, cell)),
    priceText(findings, cell),
    findings.limits.length === 0 ? '' : block('LIMITS', '', limits(findings)),
    block(
      'STANDS',
      'degrees; medial side and posterior side down positive; leans top lateral positive',
      stands(findings, cell),
    ),
    sensitivityLine(findings),
    block('LOADED', 'shear to compression under the tray, total and by plane', loaded(findings, cell)),
    findings.loading.every((load) => load.bearing === null)
      ? ''
      : block('BEARING', 'elastic layer on a rigid base; half-space figure beside it', contact(findings, cell)),
    block('MEASURED ELSEWHERE', 'to compare with, no verdict', besideLoads.map(besideText).join('')),
    flagsText(findings),
    intervalsText(findings),
    warningsText(findings.warnings),
    assumptionsText(findings.assumptions),
    cautionsText(),
    `\nNot judged: ${notJudged.join('; ')}.\n`,
  ].join('')
}

/** What the program is not, for the head of every text. */
export const headLine = (): string => `${wrapped(`Floorline ${programVersion}. ${caution}`, 100, '', '')}\n`

type Cell = (
  value: number | null,
  quantity: Quantity,
  path: string,
  signed?: boolean,
  bound?: number | undefined,
) => string

/** Numbers that a warning touches get a dagger. */
export const marked =
  (warnings: readonly Warning[]): Cell =>
  (value, quantity, path, signed = false, bound = undefined) =>
    `${shownBounded(value, quantity, bound, signed)}${spoiling(warnings, path).length > 0 ? '†' : ' '}`

export function warningsText(warnings: readonly Warning[]): string {
  if (warnings.length === 0) return ''
  const items = warnings.map((w) =>
    wrapped(w.spoils.length === 0 ? `– ${w.message}` : `† ${w.message} [${w.spoils.join(', ')}]`),
  )
  return `\nWARNINGS\n${items.join('')}`
}

/** What about this anatomy the plain recipe was not made for, and what it changes. */
export function flagsText({ flags }: Pick<Findings, 'flags'>): string {
  if (flags.length === 0) return ''
  const lines = flags.map((flag) => {
    const doubt = flag.doubt === null ? '' : ` ${flag.doubt}`
    return wrapped(`! ${flag.message} (limit ${limitWords(flag)}; ${flag.basis}) ${flag.changes}${doubt}`)
  })
  return `\nEXTREME ANATOMY\n${lines.join('')}`
}

/** What the 95 % columns are made of, and what is left out of them. */
export function intervalsText({ uncertainty }: Pick<Findings, 'uncertainty'>): string {
  if (uncertainty === null) return ''
  const { draws, seed, meshAccuracyMm, includes, excludes } = uncertainty
  return [
    `\n95 % INTERVALS  (${draws} draws, seed ${seed}; landmarks by their SD, surface ±${shown(meshAccuracyMm, 'mm')} mm)\n`,
    ...includes.map((line) => wrapped(`· in: ${line}`)),
    ...excludes.map((line) => wrapped(`· not in: ${line}`)),
  ].join('')
}

export function assumptionsText(assumptions: readonly Assumption[]): string {
  if (assumptions.length === 0) return ''
  return `\nASSUMED\n${assumptions.map((a) => wrapped(`· ${a.what}: ${a.value} (${a.basis})`)).join('')}`
}

const cautionsText = (): string =>
  `\nMIND\n${cautions.map(([about, words]) => wrapped(`· ${about}: ${words}`)).join('')}`

const besideText = ({ what, value, source }: BesideLoads): string => wrapped(`· ${what}: ${value} (${source})`)

const right = (title: string): Column => ({ title, align: 'right' })
const block = (title: string, note: string, body: string): string =>
  `\n${title}${note === '' ? '' : `  (${note})`}\n${body}`

function heading(findings: Findings): string {
  const { implants } = findings
  return [
    headLine(),
    `${findings.side.toUpperCase()} KNEE, side ${sideSourceWords[findings.sideSource]}\n`,
    `${procedureWords[findings.procedure]}, ${findings.recipe} recipe; femoral size ${sizeWords(findings, 'femur')}, tibial size ${sizeWords(findings, 'tibia')}, insert ${shown(implants.insertMm, 'mm')} mm, ${implants.family}\n`,
  ].join('')
}

function sites(findings: Findings, cell: Cell): string {
  const columns = [
    { title: 'site' },
    ...['total', '95 %', 'component', 'difference'].map(right),
    { title: '' },
    ...['piece', 'kerf', 'worn', 'to bone'].map(right),
  ]
  const rows = findings.sites.map((site) => {
    const at = `sites.${site.id}`
    return [
      siteWords[site.id],
      cell(site.totalMm, 'mm', `${at}.totalMm`),
      shownPlusMinus(findings, `${at}.totalMm`, 'mm'),
      cell(site.componentMm, 'mm', `${at}.componentMm`),
      cell(site.differenceMm, 'mm', `${at}.differenceMm`, true),
      site.within ? 'within ±0.5' : site.differenceMm > 0 ? 'more taken' : 'less taken',
      cell(site.pieceMm, 'mm', `${at}.pieceMm`),
      cell(site.kerfMm, 'mm', `${at}.kerfMm`),
      cell(site.wornMm, 'mm', `${at}.wornMm`),
      cell(site.distanceMm, 'mm', `${at}.distanceMm`),
    ]
  })
  return textTable(columns, rows)
}

/** Cuts that leave their component; no block where all lie on it. */
function departures(findings: Findings, cell: Cell): readonly string[] {
  const away = departingCuts(findings)
  if (away.length === 0) return []
  const rows = away.map((cut) => [
    cutWords[cut.id],
    departureWords(cut),
    cell(cut.gapMm, 'mm', `cuts.${cut.id}.gapMm`),
    cell(cut.interferenceMm, 'mm', `cuts.${cut.id}.interferenceMm`),
  ])
  const columns = [{ title: 'cut' }, { title: 'by' }, ...['room mm', 'bone in it mm'].map(right)]
  return [block('AWAY FROM THE COMPONENT', '', `${textTable(columns, rows)}  ${departureNote}\n`)]
}

function cuts(findings: Findings, cell: Cell): string {
  const { cuts: all, volumes: v } = findings
  const columns = [
    { title: 'cut' },
    { title: 'angles' },
    ...['removed cm³', 'kerf cm³', 'piece cm³', 'face mm²', 'thickest mm', 'mean mm'].map(right),
  ]
  const rows = all.map((cut) => {
    const at = `cuts.${cut.id}`
    const bound = boundBeside(findings, cut.bone, cut.removedBoundMm3)
    const angles = [
      ['varus', cut.varusDeg],
      ['valgus', cut.valgusDeg],
      ['slope', cut.slopeDeg],
      ['flexion', cut.flexionDeg],
      ['rotation', cut.rotationDeg],
      ['external', cut.externalRotationDeg],
    ] as const
    return [
      cutWords[cut.id],
      angles.flatMap(([word, deg]) => (deg === null ? [] : [`${word} ${shown(deg, 'deg')}°`])).join(', '),
      cell(cut.removedMm3, 'cm3', `${at}.removedMm3`, false, bound),
      cell(cut.kerfMm3, 'cm3', `${at}.kerfMm3`, false, bound),
      cell(cut.pieceMm3, 'cm3', `${at}.pieceMm3`, false, bound),
      cell(cut.sectionMm2, 'mm2', `${at}.sectionMm2`),
      cell(cut.greatestMm, 'mm', `${at}.greatestMm`),
      cell(cut.meanMm, 'mm', `${at}.meanMm`),
    ]
  })
  const total = (bone: string, removed: string, component: string) =>
    `  ${bone}: removed ${removed.trim()} cm³, component ${component.trim()} cm³\n`
  return [
    textTable(columns, rows),
    total(
      'femur',
      cell(
        v.femurRemovedMm3,
        'cm3',
        'volumes.femurRemovedMm3',
        false,
        boundBeside(findings, 'femur', v.femurRemovedBoundMm3),
      ),
      cell(v.femurComponentMm3, 'cm3', 'volumes.femurComponentMm3'),
    ),
    total(
      'tibia',
      cell(
        v.tibiaRemovedMm3,
        'cm3',
        'volumes.tibiaRemovedMm3',
        false,
        boundBeside(findings, 'tibia', v.tibiaRemovedBoundMm3),
      ),
      cell(v.tibiaComponentMm3, 'cm3', 'volumes.tibiaComponentMm3'),
    ),
  ].join('')
}

function aligned(findings: Findings, cell: Cell): string {
  const rows = alignedRows(findings).map((row) => [
    row.words,
    cell(row.native, row.quantity, row.nativePath),
    shownPlusMinus(findings, row.nativePath, row.quantity),
    cell(row.planned, row.quantity, row.plannedPath),
    shownPlusMinus(findings, row.plannedPath, row.quantity),
  ])
  const type = findings.angles.coronalType
  return (
    textTable([{ title: '' }, right('native'), right('95 %'), right('planned'), right('95 %')], rows) +
    (type === null ? '' : `  coronal type ${type}\n`)
  )
}

function limits({ limits: all }: Findings): string {
  const words = {
    inside: 'inside the entered limit',
    caution: 'just beyond the entered limit',
    beyond: 'beyond the entered limit',
  }
  const rows = all.map((limit) => [
    limit.id,
    shown(limit.value, 'deg'),
    `${shown(limit.low, 'deg')} … ${shown(limit.high, 'deg')}`,
    limit.status === null ? 'not judged: its number is withheld' : words[limit.status],
  ])
  return textTable([{ title: 'limit' }, right('value'), right('range'), { title: '' }], rows)
}

/** What one step of each entry of the stance does to the tray, in the pose shown. */
function sensitivityLine({ sensitivities }: Findings): string {
  const parts = sensitivities.map(
    ({ what, step, unit, coronalDeg }) =>
      `${shown(coronalDeg, 'deg', true)}° for ${step} ${unit === 'mm' ? 'mm' : 'degrees'} of ${sensitivityWords[what]}`,
  )
  return parts.length === 0 ? '' : wrapped(`tray side to side, shown pose: ${parts.join('; ')}`)
}

function stands({ stance }: Findings, cell: Cell): string {
  const columns = [
    { title: 'pose' },
    ...[
      'hips/ankles mm',
      'tibia lean before',
      'after',
      'joint line before',
      'tray side to side',
      'front to back',
      'total',
    ].map(right),
  ]
  const rows = stance.map((pose, i) => {
    const at = `stance.${i}`
    return [
      poseWords[pose.pose],
      `${shown(pose.hipHalfSpacingMm, 'mm')}/${shown(pose.ankleHalfSpacingMm, 'mm')} ${pose.spacingSource}`,
      cell(pose.tibiaLeanBeforeDeg, 'deg', `${at}.tibiaLeanBeforeDeg`, true),
      cell(pose.tibiaLeanDeg, 'deg', `${at}.tibiaLeanDeg`, true),
      cell(pose.jointLineToFloorBeforeDeg, 'deg', `${at}.jointLineToFloorBeforeDeg`, true),
      cell(pose.trayToFloorCoronalDeg, 'deg', `${at}.trayToFloorCoronalDeg`, true),
      cell(pose.trayToFloorSagittalDeg, 'deg', `${at}.trayToFloorSagittalDeg`, true),
      cell(pose.trayToFloorDeg, 'deg', `${at}.trayToFloorDeg`),
    ]
  })
  return textTable(columns, rows)
}

function loaded({ loading }: Findings, cell: Cell): string {
  const columns = [
    { title: 'pose' },
    { title: 'load' },
    ...[
      'N',
      'compression N',
      'shear N',
      'ratio',
      'side to side',
      'front to back',
      'medial %',
      'under tray MPa',
      'lifted off %',
    ].map(right),
  ]
  const rows = loading.map((load, i) => {
    const at = `loading.${i}`
    return [
      poseWords[load.pose],
      directionWords[load.direction],
      cell(load.loadN, 'N', `${at}.loadN`),
      cell(load.compressionN, 'N', `${at}.compressionN`),
      cell(load.shearN, 'N', `${at}.shearN`),
      cell(load.shearToCompression, 'ratio', `${at}.shearToCompression`),
      cell(load.shearCoronal, 'ratio', `${at}.shearCoronal`),
      cell(load.shearSagittal, 'ratio', `${at}.shearSagittal`),
      cell(load.medialShare, 'percent', `${at}.medialShare`),
      cell(load.interfacePeakMpa, 'MPa', `${at}.interfacePeakMpa`),
      cell(load.interface?.liftOffShare ?? null, 'percent', `${at}.interface.liftOffShare`),
    ]
  })
  return textTable(columns, rows)
}

function contact({ loading }: Findings, cell: Cell): string {
  const columns = [
    { title: 'pose' },
    { title: 'load' },
    { title: 'condyle' },
    ...[
      'N',
      'peak MPa',
      'half-space MPa',
      'mean MPa',
      'area mm²',
      'lateral mm',
      'anterior mm',
      'to rim mm',
      'outer tenth %',
      'cut off %',
    ].map(right),
    { title: 'edge loaded' },
  ]
  const rows = loading.flatMap((load, i) =>
    (['medial', 'lateral'] as const).flatMap((side) => {
      const condyle = load.bearing?.[side]
      if (!condyle) return []
      const at = `loading.${i}.bearing.${side}`
      return [
        [
          poseWords[load.pose],
          directionWords[load.direction],
          side,
          cell(condyle.loadN, 'N', `${at}.loadN`),
          cell(condyle.peakMpa, 'MPa', `${at}.peakMpa`),
          cell(condyle.hertzPeakMpa, 'MPa', `${at}.hertzPeakMpa`),
          cell(condyle.meanMpa, 'MPa', `${at}.meanMpa`),
          cell(condyle.areaMm2, 'mm2', `${at}.areaMm2`),
          cell(condyle.centreMm[0], 'mm', `${at}.centreMm`, true),
          cell(condyle.centreMm[1], 'mm', `${at}.centreMm`, true),
          cell(condyle.edgeDistanceMm, 'mm', `${at}.edgeDistanceMm`),
          cell(condyle.outerTenthShare, 'percent', `${at}.outerTenthShare`),
          cell(condyle.truncatedShare, 'percent', `${at}.truncatedShare`),
          condyle.edgeLoaded ? 'yes' : 'no',
        ],
      ]
    }),
  )
  return textTable(columns, rows)
}
