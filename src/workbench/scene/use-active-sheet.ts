import { useMemo } from 'react'
import { useWorkbenchState } from '../workbench.ts'
import { type CutSheet, cutSheet } from './cut-sheet.ts'
import type { Placement } from './placement.ts'

/** The sheet of the active cut where it stands, or null while there is no plan. */
export function useActiveSheet(placement: Placement): CutSheet | null {
  const findings = useWorkbenchState((state) => state.findings)
  const active = useWorkbenchState((state) => state.activeCut)
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  return useMemo(() => {
    const cut = findings?.cuts.find((c) => c.id === active)
    const anatomy = cut?.bone === 'femur' ? femur : tibia
    if (!findings || !cut || !anatomy) return null
    const sceneFromBone = cut.bone === 'femur' ? placement.sceneFromFemur : placement.sceneFromTibia
    return cutSheet({ cut, side: findings.side, procedure: findings.procedure, anatomy, sceneFromBone })
  }, [findings, active, femur, tibia, placement])
}
