import { caution } from '../casefile/program.ts'
import type { Result } from '../failure.ts'
import { shown, shownWithUnit } from '../report/numbers.ts'
import { poseWords } from '../report/words.ts'
import { findLevelCut, type LevelCut } from '../studies/level-finder.ts'
import { type CaseOptions, openCase } from './case-source.ts'
import { headLine } from './findings-text.ts'
import { wrapped } from './text-table.ts'

/** The tibial cut that stands level side to side in the case's pose. */
export async function levelCase(caseFile: string | undefined, options: CaseOptions): Promise<Result<LevelCut>> {
  const opened = await openCase(caseFile, options)
  return opened.ok ? findLevelCut(opened.value.document, opened.value.bones) : opened
}

/** The document `floorline.level/1`. */
export const levelDocument = (level: LevelCut) => ({ schema: 'floorline.level/1', caution, ...level })

/** The answer with both shear ratios, the spacings it assumed and whether the entered limits allow it. */
export function levelText(level: LevelCut): string {
  const limits = level.limitsAllow
    ? 'Inside the entered limits.'
    : level.limits.some((limit) => limit.status === null)
      ? 'A limit is not judged: its number is withheld.'
      : 'Beyond an entered limit.'
  return `${headLine()}${[
    `${shownWithUnit(level.varusDeg, 'deg')} of tibial varus (MPTA ${shownWithUnit(level.mptaDeg, 'deg')}) stands level side to side, ${poseWords[level.pose]}; front to back ${shownWithUnit(level.trayToFloorSagittalDeg, 'deg')} is left.`,
    `Shear to compression ${shown(level.shearVertical, 'ratio')} straight down, ${shown(level.shearTibialAxis, 'ratio')} along the tibia.`,
    `Half spacing ${shownWithUnit(level.hipHalfSpacingMm, 'mm')} at the hips, ${shownWithUnit(level.ankleHalfSpacingMm, 'mm')} at the ankles, ${level.spacingSource}. ${limits}`,
    'An answer to a question, not a recommendation.',
  ]
    .map((line) => wrapped(line))
    .join('')}`
}
