import type { StanceFindings } from '../../findings.ts'
import { formatQuantity } from '../text/format.ts'

/** Below this a tilt reads 0.0°. */
const levelDeg = 0.05

/** Which side is down, and what the other plane leaves: level always names its plane. */
export function tiltWords({
  trayToFloorCoronalDeg: coronal,
  trayToFloorSagittalDeg: sagittal,
}: StanceFindings): string {
  const rest =
    Math.abs(sagittal) < levelDeg
      ? 'level front to back too'
      : `slope leaves ${formatQuantity(Math.abs(sagittal), 'deg')}, ${sagittal > 0 ? 'posterior' : 'anterior'} side down`
  if (Math.abs(coronal) < levelDeg) return `level side to side; ${rest}`
  return `to the floor, ${coronal > 0 ? 'medial' : 'lateral'} side down; ${rest}`
}
