import type { WorkbenchState } from '../store/state.ts'
import { type CutSheet, cutSheet } from './cut-sheet.ts'
import type { Placement } from './placement.ts'

/** The sheet of the active cut where it stands, or null while there is no plan. */
export function activeSheet(
  { findings, activeCut, femurAnatomy, tibiaAnatomy }: WorkbenchState,
  placement: Placement,
): CutSheet | null {
  const cut = findings?.cuts.find((c) => c.id === activeCut)
  const ofFemur = cut?.bone === 'femur'
  const anatomy = ofFemur ? femurAnatomy : tibiaAnatomy
  if (!findings || !cut || !anatomy) return null
  const sceneFromBone = ofFemur ? placement.sceneFromFemur : placement.sceneFromTibia
  return cutSheet({ cut, side: findings.side, procedure: findings.procedure, anatomy, sceneFromBone })
}
