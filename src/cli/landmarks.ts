import { confidenceWord } from '../anatomy/confidence-word.ts'
import { coronalTypeWords } from '../anatomy/coronal-type.ts'
import { landmarkWords } from '../anatomy/landmark-words.ts'
import { type Landmark, landmarkIds } from '../anatomy/terms.ts'
import { type AnatomyFindings, anatomyFindings } from '../assess.ts'
import { findAnatomy } from '../casefile/case-anatomy.ts'
import { caution } from '../casefile/program.ts'
import { ok, type Result } from '../failure.ts'
import { definitionsJson, flagsJson, landmarksJson } from '../report/findings-json.ts'
import { budgetLines, shownPlusMinus } from '../report/intervals.ts'
import { shown } from '../report/numbers.ts'
import { shapeLines } from '../report/shape-lines.ts'
import { sideSourceWords } from '../report/words.ts'
import type { OpenedCase } from './case-source.ts'
import { flagsText, headLine, intervalsText, marked, warningsText } from './findings-text.ts'
import { textTable, wrapped } from './text-table.ts'

/** Landmarks, fits and angles of the bones, without a plan. */
export function findLandmarks({ document, bones, warnings }: OpenedCase): Result<AnatomyFindings> {
  const anatomy = findAnatomy(document, bones)
  return anatomy.ok ? ok(anatomyFindings(document, bones, anatomy.value, warnings)) : anatomy
}

/** The document `floorline.landmarks/1`. */
export const landmarksDocument = (found: AnatomyFindings): Readonly<Record<string, unknown>> => ({
  schema: 'floorline.landmarks/1',
  caution,
  ...found,
  landmarks: landmarksJson(found.landmarks),
  definitions: definitionsJson(found.definitions),
  flags: flagsJson(found.flags),
})

/** What each angle would be by other definitions, and where healthy adults lie. */
function definitionsText({ definitions }: AnatomyFindings): string {
  const told = Object.entries(definitions).filter(
    ([, { alternatives, normal, types }]) => normal || alternatives.length > 0 || types !== undefined,
  )
  const rows = told.map(([path, { alternatives, normal, types }]) =>
    wrapped(
      `  ${path.slice('angles.'.length).replace(/Deg$/, '')}: ${[
        normal === null
          ? types
            ? 'the type'
            : 'no normal range'
          : `${shown(normal.lowDeg, 'deg')} to ${shown(normal.highDeg, 'deg')} (${normal.source}${normal.sameDefinition ? '' : '; another definition'})`,
        ...(types ?? []).map(({ definition, type }) => `${type} with ${definition}`),
        ...alternatives.map(({ definition, valueDeg }) => `${shown(valueDeg, 'deg')} with ${definition}`),
      ].join('; ')}`,
    ),
  )
  return `\nNORMAL RANGES AND OTHER DEFINITIONS  (degrees)\n${rows.join('')}`
}

const sourceOf = ({ source, from }: Landmark): string => (from ? `${source}, ${from.file}` : source)

/** Landmarks for a terminal. */
export function landmarksText(found: AnatomyFindings): string {
  const reasons: string[] = []
  const noted = (reason: string | null) => {
    if (reason === null) return ''
    if (!reasons.includes(reason)) reasons.push(reason)
    return `[${reasons.indexOf(reason) + 1}]`
  }
  const points = landmarkIds.flatMap((id) => {
    const landmark = found.landmarks[id]
    if (!landmark) return []
    const place = landmark.mm.map((c) => shown(c, 'mm').padStart(7)).join(' ')
    const residual = landmark.residualMm === null ? '–' : landmark.residualMm.toFixed(2)
    const confidence = `${confidenceWord(landmark.confidence)} ${shown(landmark.confidence, 'percent')}`
    const sd = landmark.sdMm === null ? '–' : landmark.sdMm.toFixed(1)
    return [[landmarkWords[id], place, confidence, residual, sd, sourceOf(landmark), noted(landmark.reason)]]
  })
  const columns = [
    { title: 'landmark' },
    { title: 'x, y, z in the file, mm', align: 'right' },
    { title: 'sure %', align: 'right' },
    { title: 'residual mm', align: 'right' },
    { title: '1 SD mm', align: 'right' },
    { title: 'source' },
    { title: '' },
  ] as const
  const cell = marked(found.warnings)
  const { angles } = found
  const numbers = Object.entries(angles).filter(([, value]) => typeof value === 'number' || value === null)
  const angleRows = numbers.map(([name, value]) => [
    name.replace(/Deg$/, ''),
    cell(typeof value === 'number' ? value : null, 'deg', `angles.${name}`),
    shownPlusMinus(found, `angles.${name}`, 'deg'),
    budgetLines(found, `angles.${name}`)
      .slice(0, 3)
      .map(({ words, share }) => `${words} ${shown(share, 'percent')} %`)
      .join(', '),
  ])
  const pose = angles.kneePose
  return [
    headLine(),
    `${found.side.toUpperCase()} KNEE, side ${sideSourceWords[found.sideSource]}\n\nLANDMARKS\n`,
    textTable(columns, points),
    ...reasons.map((reason, i) => wrapped(`[${i + 1}] ${reason}`)),
    '\nFITS AND SHAPES\n',
    ...shapeLines(found).map(({ label, words }) => wrapped(`  ${label.toLowerCase()}: ${words ?? 'not on this scan'}`)),
    '\nANGLES  (degrees)\n',
    textTable(
      [
        { title: '' },
        { title: 'native', align: 'right' },
        { title: '95 %', align: 'right' },
        { title: 'most of it from (share of variance)' },
      ],
      angleRows,
    ),
    angles.coronalType === null
      ? ''
      : `  coronal type ${angles.coronalType}: ${coronalTypeWords(angles.coronalType)}\n`,
    pose === null
      ? ''
      : `  pose on the files: flexion ${shown(pose.flexionDeg, 'deg')}°, varus ${shown(pose.varusDeg, 'deg')}°, external rotation ${shown(pose.externalRotationDeg, 'deg')}°; tibial from femoral knee centre: lateral ${shown(pose.lateralMm, 'mm')} mm, anterior ${shown(pose.anteriorMm, 'mm')} mm, proximal ${shown(pose.proximalMm, 'mm')} mm\n`,
    `\nREFERENCES\n${Object.entries(found.references)
      .map(([what, choice]) => `  ${what}: ${choice}\n`)
      .join('')}`,
    definitionsText(found),
    flagsText(found),
    intervalsText(found),
    warningsText(found.warnings),
  ].join('')
}
