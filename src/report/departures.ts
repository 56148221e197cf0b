import type { Findings } from '../findings.ts'
import type { PlannedCut } from '../planning/planned.ts'
import { departs } from '../planning/terms.ts'
import { shownWithUnit } from './numbers.ts'

/** The femoral cuts that depart from their component, for a table; none where all lie on it. */
export const departingCuts = ({ cuts }: Findings): readonly PlannedCut[] =>
  cuts.filter(({ departure }) => departure !== null && departs(departure))

/** How a cut departs, in words: "1.0 mm deeper, 2.0° as in flexion". */
export function departureWords({ departure }: PlannedCut): string {
  if (departure === null) return ''
  const { deeperMm, flexionDeg, medialDeg } = departure
  const turned = (deg: number, plus: string, minus: string) =>
    deg === 0 ? [] : [`${shownWithUnit(Math.abs(deg), 'deg')} ${deg > 0 ? plus : minus}`]
  return [
    ...(deeperMm === 0 ? [] : [`${shownWithUnit(Math.abs(deeperMm), 'mm')} ${deeperMm > 0 ? 'deeper' : 'shallower'}`]),
    ...turned(flexionDeg, 'as in flexion', 'as in extension'),
    ...turned(medialDeg, 'medial edge deeper', 'lateral edge deeper'),
  ].join(', ')
}

export const departureNote =
  'The component stays where its box puts it; limb axis, joint lines and slack are those of the component, piece and total those of the saw.'
