import { siteIds } from '../../planning/terms.ts'
import { directionWords, poseWords, siteWords } from '../../report/words.ts'
import type { PoseName } from '../../stance/terms.ts'

const poses: readonly PoseName[] = ['feet-together', 'natural', 'one-leg']
const directions = ['vertical', 'tibial-axis'] as const

/** Numbers that a lesson may quote or ask about, with what they are called; any other findings path works when typed. */
export const quotable: readonly (readonly [path: string, name: string])[] = [
  ['angles.hkaDeg', 'HKA, native'],
  ['angles.ldfaDeg', 'LDFA, native'],
  ['angles.mptaDeg', 'MPTA, native'],
  ['after.hkaDeg', 'HKA, planned'],
  ['after.ldfaDeg', 'LDFA, planned'],
  ['after.mptaDeg', 'MPTA, planned'],
  ['cuts.tibia.varusDeg', 'Tibial cut, varus'],
  ['cuts.tibia.slopeDeg', 'Tibial cut, slope'],
  ['cuts.femur-distal.valgusDeg', 'Distal femoral cut, valgus'],
  ['volumes.tibiaRemovedMm3', 'Tibia removed'],
  ['volumes.femurRemovedMm3', 'Femur removed'],
  ...siteIds.flatMap((id) => [
    [`sites.${id}.pieceMm`, `${siteWords[id]}: piece`] as const,
    [`sites.${id}.totalMm`, `${siteWords[id]}: taken`] as const,
    [`sites.${id}.differenceMm`, `${siteWords[id]}: taken − put back`] as const,
  ]),
  ...poses.flatMap((pose) => [
    [`stance.${pose}.trayToFloorCoronalDeg`, `Tray to floor side to side, ${poseWords[pose]}`] as const,
    [`stance.${pose}.tibiaLeanDeg`, `Tibia lean, ${poseWords[pose]}`] as const,
    ...directions.map(
      (direction) =>
        [
          `loading.${pose}.${direction}.shearToCompression`,
          `Shear to compression, ${poseWords[pose]}, ${directionWords[direction]}`,
        ] as const,
    ),
  ]),
]
