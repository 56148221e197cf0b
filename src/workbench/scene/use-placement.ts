import { useMemo } from 'react'
import { rising } from '../../stance/rise.ts'
import { useShownStance } from '../floor-strip/shown-stance.ts'
import { useWorkbenchState } from '../workbench.ts'
import { type Placement, placeBones } from './placement.ts'

/** Where the bones stand in the scene on the open stage. */
export function usePlacement(): Placement {
  const stands = useWorkbenchState((state) => state.stage === 'stance' || state.stage === 'loading')
  const findings = useWorkbenchState((state) => state.findings)
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const { stance } = useShownStance()
  const risen = useWorkbenchState((state) => state.risen)
  const standing = useMemo(
    () => (stands && stance ? { ...stance, ...rising(stance, risen) } : undefined),
    [stands, stance, risen],
  )
  return useMemo(() => placeBones({ findings, femur, tibia, standing }), [findings, femur, tibia, standing])
}
