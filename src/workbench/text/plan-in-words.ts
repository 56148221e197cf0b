import type { Findings } from '../../findings.ts'
import { formatQuantity } from './format.ts'
import { poseLabels, sideLabels, siteLabels } from './messages.ts'

/** What a sighted user reads off the window, in a few sentences. */
export function planInWords(findings: Findings): string {
  const tibia = findings.cuts.find((cut) => cut.id === 'tibia')
  const femur = findings.cuts.find((cut) => cut.id === 'femur-distal')
  const deg = (value: number | null | undefined) => (value == null ? 'withheld' : formatQuantity(value, 'deg'))
  const outside = findings.sites.filter((site) => !site.within)
  const stance = findings.stance[0]
  const sentences = [
    `${sideLabels[findings.side]} knee, ${findings.recipe} recipe.`,
    `Tibial cut ${deg(tibia?.varusDeg)} varus, slope ${deg(tibia?.slopeDeg)}.`,
    `Distal femoral cut ${deg(femur?.valgusDeg)} valgus, flexion ${deg(femur?.flexionDeg)}.`,
    outside.length === 0
      ? 'At every site as much is taken as is put back, within half a millimetre.'
      : outside
          .map(
            (site) =>
              `${siteLabels[site.id]}: ${formatQuantity(site.differenceMm, 'mm', { signed: true })} against the component.`,
          )
          .join(' '),
    stance
      ? `${poseLabels[stance.pose]}: tray ${deg(stance.trayToFloorCoronalDeg)} to the floor, medial side down positive.`
      : '',
    findings.warnings.length > 0 ? `${findings.warnings.length} warnings.` : '',
  ]
  return sentences.filter(Boolean).join(' ')
}
