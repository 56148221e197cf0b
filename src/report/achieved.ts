import type { AchievedCut } from '../planning/achieved.ts'
import type { AchievedOnBone } from '../planning/achieved-in-frame.ts'
import type { SiteId } from '../planning/terms.ts'
import { shown, shownWithUnit } from './numbers.ts'
import { cutWords, siteWords } from './words.ts'

/** One cut against the plan, in words: what the angles and depths are off by. */
export interface AchievedRow {
  readonly cut: string
  readonly angles: string
  readonly deeper: string
  readonly face: string
}

/** Rows of the comparison, achieved less planned; more taken is positive. */
export const achievedRows = ({ cuts }: AchievedOnBone): readonly AchievedRow[] =>
  cuts.map((cut) => ({
    cut: cutWords[cut.id],
    angles: anglesOf(cut),
    deeper:
      Object.entries(cut.deeperMm)
        .map(([id, mm]) => `${siteWords[id as SiteId].replace(/^.*, /, '')} ${shownWithUnit(mm ?? null, 'mm', true)}`)
        .join(', ') || '–',
    face: `${shown(cut.faceMm2, 'mm2')} mm², rms ${cut.rmsMm.toFixed(2)} mm`,
  }))

/** How the mesh was laid on the plan's bone, with the residual. */
export function registrationWords({ registration }: AchievedOnBone): string {
  const { how, rmsMm, share, turnedDeg, movedMm } = registration
  const residual = `${Math.round(100 * share)} % of its surface within 1 mm, rms ${rmsMm.toFixed(2)} mm`
  return how === 'same-frame'
    ? `Compared where it lies: ${residual}.`
    : `Laid on the uncut surface (turned ${shownWithUnit(turnedDeg, 'deg')}, moved ${shownWithUnit(movedMm, 'mm')}): ${residual}. The planes err with it.`
}

function anglesOf(cut: AchievedCut): string {
  const named = [
    ['varus', cut.varusDeg],
    ['slope', cut.slopeDeg],
    ['valgus', cut.valgusDeg],
    ['flexion', cut.flexionDeg],
    ['external rotation', cut.externalRotationDeg],
  ] as const
  const told = named.flatMap(([word, deg]) => (deg === undefined ? [] : [`${word} ${shownWithUnit(deg, 'deg', true)}`]))
  return [...told, `tilt ${shownWithUnit(cut.tiltDeg, 'deg')}`].join(', ')
}
