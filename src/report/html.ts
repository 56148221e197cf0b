import { caution, programVersion } from '../casefile/program.ts'
import type { Findings } from '../findings.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import type { StanceDrawing } from '../stance/drawing.ts'
import type { PoseName } from '../stance/terms.ts'
import { comparedRows, type RecipeResults, usualComparison } from '../studies/compare-recipes.ts'
import { alignedRows } from './aligned.ts'
import { boundBeside } from './bounded.ts'
import { comparedValue, comparedWords } from './compared.ts'
import { departingCuts, departureNote, departureWords } from './departures.ts'
import { escaped } from './escaped.ts'
import { cautions } from './explanations.ts'
import { limitWords } from './flag-words.ts'
import { plusMinus } from './intervals.ts'
import { loadingSection } from './loading-html.ts'
import { shown, shownWithUnit } from './numbers.ts'
import { outputWords } from './output-words.ts'
import { sizeWords } from './price.ts'
import { priceHtml } from './price-html.ts'
import { reportStyle } from './report-style.ts'
import { number, plusMinusCell, remarks, section, table, text } from './report-table.ts'
import { stanceSvg } from './stance-svg.ts'
import {
  cutWords,
  limitNames,
  notJudged,
  poseWords,
  procedureWords,
  recipeWords,
  sensitivityWords,
  sideSourceWords,
  siteWords,
} from './words.ts'

export interface ReportInput {
  readonly findings: Findings
  readonly drawing: StanceDrawing | null
  /** Title of the case; identifying text only where it was asked for. */
  readonly caseName: string
  /** The four recipes side by side; left out when null. */
  readonly alternatives?: RecipeResults | null
  /** Pose of the comparison. */
  readonly pose?: PoseName
  readonly notes: string
}

/**
 * The rehearsal expectation as one self-contained page for screen and print: A4, caution on every page, vector
 * drawing, no script, nothing loaded from elsewhere. Every text from outside is escaped.
 */
export function reportHtml({ findings, drawing, caseName, alternatives, pose, notes }: ReportInput): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Rehearsal expectation – ${escaped(caseName)}</title>
<style>${reportStyle}</style>
</head>
<body>
<header>
<p class="kicker">Floorline ${programVersion} · rehearsal expectation</p>
<h1>${escaped(caseName)}</h1>
<p class="side">${findings.side.toUpperCase()}</p>
<p>Side ${escaped(sideSourceWords[findings.sideSource])}. ${sentence(procedureWords[findings.procedure])}, ${recipeWords[findings.recipe]} recipe.
Femoral size ${sizeWords(findings, 'femur')}, tibial size ${sizeWords(findings, 'tibia')}, insert ${shownWithUnit(findings.implants.insertMm, 'mm')}.</p>
<p class="caution">The thickness expected on each piece, not verified against the patient, not for guiding a cut. ${escaped(caution)}</p>
</header>
${sitesSection(findings)}
${cutsSection(findings)}
${alignedSection(findings)}
${section('What it changes and costs', priceHtml(findings))}
${limitsSection(findings)}
${flagsSection(findings)}
${stanceSection(findings, drawing)}
${loadingSection(findings)}
${alternatives ? alternativesSection(alternatives, findings.recipe, pose ?? 'feet-together') : ''}
${warningsSection(findings)}
${assumptionsSection(findings)}
${cautionsSection()}
<section><h2>Not judged</h2><p>${notJudged.map(escaped).join('; ')}.</p></section>
${notes.trim() === '' ? '' : `<section><h2>Notes</h2><p class="notes">${escaped(notes)}</p></section>`}
</body>
</html>
`
}

function sitesSection(findings: Findings): string {
  const cell = number(findings)
  const rows = findings.sites.map((site) => {
    const at = `sites.${site.id}`
    const verdict = site.within ? 'within ±0.5' : site.differenceMm > 0 ? 'more taken' : 'less taken'
    return [
      `<td class="name">${escaped(siteWords[site.id])}</td>`,
      cell(site.totalMm, 'mm', `${at}.totalMm`, false, plusMinus(findings, `${at}.totalMm`) ?? undefined),
      cell(site.componentMm, 'mm', `${at}.componentMm`),
      cell(site.differenceMm, 'mm', `${at}.differenceMm`, true),
      `<td class="verdict">${verdict}</td>`,
      cell(site.pieceMm, 'mm', `${at}.pieceMm`),
      cell(site.kerfMm, 'mm', `${at}.kerfMm`),
      cell(site.wornMm, 'mm', `${at}.wornMm`),
      '<td class="write"></td>',
    ]
  })
  return section(
    'Taken and put back',
    table(
      [
        'Site',
        'Total ±\u00a095\u00a0%',
        'Component',
        'Difference',
        '',
        'Piece expected',
        'Kerf',
        'Worn',
        'Piece measured',
      ],
      rows,
    ) +
      '<p class="small">mm. Total = piece + kerf + worn. Difference = total − component, positive where more is taken than put back; ±0.5 mm is common practice, no source.</p>',
  )
}

function cutsSection(findings: Findings): string {
  const cell = number(findings)
  const rows = findings.cuts.map((cut) => {
    const at = `cuts.${cut.id}`
    const angles = [
      ['varus', cut.varusDeg],
      ['valgus', cut.valgusDeg],
      ['slope', cut.slopeDeg],
      ['flexion', cut.flexionDeg],
      ['rotation', cut.rotationDeg],
      ['external rotation', cut.externalRotationDeg],
    ] as const
    const bound = boundBeside(findings, cut.bone, cut.removedBoundMm3)
    const told = angles.flatMap(([word, deg]) => (deg === null ? [] : [`${word} ${shownWithUnit(deg, 'deg')}`]))
    return [
      text(cutWords[cut.id]),
      text(told.join(', ')),
      cell(cut.removedMm3, 'cm3', `${at}.removedMm3`, false, bound),
      cell(cut.kerfMm3, 'cm3', `${at}.kerfMm3`, false, bound),
      cell(cut.pieceMm3, 'cm3', `${at}.pieceMm3`, false, bound),
      cell(cut.sectionMm2, 'mm2', `${at}.sectionMm2`),
      cell(cut.greatestMm, 'mm', `${at}.greatestMm`),
      cell(cut.meanMm, 'mm', `${at}.meanMm`),
    ]
  })
  const { volumes: v } = findings
  const sums = [
    ['femur', v.femurRemovedMm3, v.femurRemovedBoundMm3, v.femurComponentMm3],
    ['tibia', v.tibiaRemovedMm3, v.tibiaRemovedBoundMm3, v.tibiaComponentMm3],
  ] as const
  return section(
    'Cuts',
    table(['Cut', 'Angles', 'Removed cm³', 'Kerf cm³', 'Piece cm³', 'Cut face mm²', 'Thickest mm', 'Mean mm'], rows) +
      table(
        ['Bone', 'Removed cm³', 'Component cm³'],
        sums.map(([bone, removed, boundMm3, component]) => [
          text(bone === 'femur' ? 'Femur' : 'Tibia'),
          cell(removed, 'cm3', `volumes.${bone}RemovedMm3`, false, boundBeside(findings, bone, boundMm3)),
          cell(component, 'cm3', `volumes.${bone}ComponentMm3`),
        ]),
      ) +
      departuresTable(findings),
  )
}

/** Cuts that leave their component, with the room and interference that makes; nothing where all lie on it. */
function departuresTable(findings: Findings): string {
  const cell = number(findings)
  const rows = departingCuts(findings).map((cut) => [
    text(cutWords[cut.id]),
    text(departureWords(cut)),
    cell(cut.gapMm, 'mm', `cuts.${cut.id}.gapMm`),
    cell(cut.interferenceMm, 'mm', `cuts.${cut.id}.interferenceMm`),
  ])
  if (rows.length === 0) return ''
  const head = ['Cut away from the component', 'By', 'Room under it mm', 'Bone into it mm']
  return `${table(head, rows)}<p class="small">${departureNote}</p>`
}

function alignedSection(findings: Findings): string {
  const cell = number(findings)
  const rows = alignedRows(findings).map((row) => [
    text(row.words),
    cell(row.native, row.quantity, row.nativePath),
    plusMinusCell(findings, row.nativePath, row.quantity),
    cell(row.planned, row.quantity, row.plannedPath),
    plusMinusCell(findings, row.plannedPath, row.quantity),
  ])
  return section('Aligned', table(['', 'Native', '95 %', 'Planned', '95 %'], rows) + intervalsNote(findings))
}

function limitsSection(findings: Findings): string {
  if (findings.limits.length === 0) return ''
  const words = {
    inside: 'inside the entered limit',
    caution: 'just beyond the entered limit',
    beyond: 'beyond the entered limit',
  }
  const rows = findings.limits.map((limit) => [
    text(limitNames[limit.id] ?? limit.id),
    text(shown(limit.value, 'deg')),
    text(`${shown(limit.low, 'deg')} … ${shown(limit.high, 'deg')}`),
    text(limit.status === null ? 'not judged: its number is withheld' : words[limit.status]),
    text(limit.basis),
  ])
  return section('Limits', table(['Limit', 'Value', 'Range', '', 'Basis'], rows))
}

function flagsSection({ flags }: Findings): string {
  if (flags.length === 0) return ''
  const rows = flags.map((flag) => [
    text(flag.message),
    text(limitWords(flag)),
    text(`${flag.changes}${flag.doubt === null ? '' : ` ${flag.doubt}`}`),
    text(flag.basis),
  ])
  return section('Extreme anatomy', table(['What', 'Limit', 'What it changes', 'Basis'], rows))
}

function stanceSection(findings: Findings, drawing: StanceDrawing | null): string {
  const cell = number(findings)
  const rows = findings.stance.map((pose, i) => {
    const at = `stance.${i}`
    return [
      text(poseWords[pose.pose]),
      text(`${shown(pose.hipHalfSpacingMm, 'mm')} / ${shown(pose.ankleHalfSpacingMm, 'mm')} (${pose.spacingSource})`),
      cell(pose.tibiaLeanBeforeDeg, 'deg', `${at}.tibiaLeanBeforeDeg`, true),
      cell(pose.tibiaLeanDeg, 'deg', `${at}.tibiaLeanDeg`, true),
      cell(pose.jointLineToFloorBeforeDeg, 'deg', `${at}.jointLineToFloorBeforeDeg`, true),
      cell(pose.trayToFloorCoronalDeg, 'deg', `${at}.trayToFloorCoronalDeg`, true),
      cell(pose.trayToFloorSagittalDeg, 'deg', `${at}.trayToFloorSagittalDeg`, true),
      cell(pose.trayToFloorDeg, 'deg', `${at}.trayToFloorDeg`),
    ]
  })
  const picture = drawing
    ? `<figure>${stanceSvg(drawing)}<figcaption>Pose: ${poseWords[drawing.pose]}, from the front, after the cuts${otherLegWords(drawing)}. Dashed: plumb line from the hip. Tilts: medial side and posterior side down positive.</figcaption></figure>`
    : ''
  const told = findings.sensitivities.map(
    ({ what, step, unit, coronalDeg }) =>
      `${shownWithUnit(coronalDeg, 'deg', true)} for ${step}${unit === 'mm' ? ' mm' : '°'} of ${sensitivityWords[what]}`,
  )
  const answers = told.length === 0 ? '' : `<p class="small">Side to side, shown pose: ${escaped(told.join('; '))}.</p>`
  return section(
    'Stands',
    `${picture}${table(
      [
        'Pose',
        'Half spacing hips / ankles mm',
        'Tibia lean before',
        'Tibia lean',
        'Joint line to floor before',
        'Tray to floor, side to side',
        'Tray to floor, front to back',
        'Tray to floor, total',
      ],
      rows,
    )}${answers}`,
  )
}

const otherLegWords = ({ legs }: StanceDrawing): string =>
  legs.length < 2
    ? ''
    : legs[1]?.mirrored
      ? '; the other leg is the mirror image'
      : '; the other leg stands on its own bones, uncut'

/** The planned recipe is the baseline: the others show how far they lie from it. */
function alternativesSection(alternatives: RecipeResults, baseline: RecipeName, pose: PoseName): string {
  const compared = comparedRows(alternatives, usualComparison, baseline, pose)
  if (!compared.ok) return ''
  const rows = compared.value.map((row) => [
    text(outputWords(row.name)),
    ...recipeNames.map((name) => {
      const value = comparedWords(row, name)
      const less = name === baseline ? '' : ` (${comparedValue(row, row.differences[name], true)})`
      return `<td class="number">${escaped(`${value}${less}`)}</td>`
    }),
  ])
  const note = `In brackets: less ${recipeWords[baseline]}. Pose ${poseWords[pose]}.`
  return section('Recipes compared', `${table(['', ...recipeNames], rows)}<p class="small">${escaped(note)}</p>`)
}

function warningsSection(findings: Findings): string {
  if (findings.warnings.length === 0) return ''
  const items = findings.warnings.map(
    (w) =>
      `<li>${escaped(w.message)}${w.spoils.length === 0 ? '' : ` <span class="small">Touches: ${w.spoils.map(escaped).join(', ')}.</span>`}</li>`,
  )
  return section('Warnings', `<ol>${items.join('')}</ol>`)
}

/** Where people disagree about a number, or where it is easily misread. */
const cautionsSection = (): string => section('Mind', remarks(cautions))

function assumptionsSection(findings: Findings): string {
  return section(
    'Assumptions',
    table(
      ['What', 'Value', 'Basis'],
      findings.assumptions.map((a) => [text(a.what), text(a.value), text(a.basis)]),
    ),
  )
}

function intervalsNote({ uncertainty }: Findings): string {
  if (uncertainty === null) return ''
  const { draws, meshAccuracyMm, includes, excludes } = uncertainty
  return `<p class="small">95 %: ${draws} seeded draws of what landmarks (each by its SD) and surface (±${shownWithUnit(meshAccuracyMm, 'mm')}) err by. In it: ${includes.map(escaped).join('; ')}. Not in it: ${excludes.map(escaped).join('; ')}.</p>`
}

const sentence = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
