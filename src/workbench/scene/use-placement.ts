import { useMemo, useRef } from 'react'
import type { Rigid } from '../../geometry/rigid.ts'
import { rising } from '../../stance/rise.ts'
import type { WorkbenchState } from '../store/state.ts'
import { useWorkbenchState } from '../workbench.ts'
import { lyingBeside, type Placement, placeBones } from './placement.ts'

/** Where the bones stand in the scene on the open stage; the same object for as long as they stand there. */
export function usePlacement(): Placement {
  const risen = useWorkbenchState((state) => state.risen)
  const femur = useWorkbenchState((state) => state.femurAnatomy)
  const tibia = useWorkbenchState((state) => state.tibiaAnatomy)
  const standing = useWorkbenchState(standingPose)
  // A plan tells where the bones lie beside each other, which a pull on a cut does not change.
  const beside = useWorkbenchState((state) => (standing ? null : lyingBeside(state.findings)))
  const placed = useMemo(
    () => placeBones({ beside, femur, tibia, standing: standing && { ...standing, ...rising(standing, risen) } }),
    [beside, femur, tibia, standing, risen],
  )
  const last = useRef(placed)
  if (!samePlace(last.current, placed)) last.current = placed
  return last.current
}

function standingPose({ stage, findings, history }: WorkbenchState) {
  if (stage !== 'stance' && stage !== 'loading') return undefined
  return findings?.stance.find(({ pose }) => pose === history.present.stance.pose)
}

const samePlace = (a: Placement, b: Placement): boolean =>
  a.frame === b.frame && sameRigid(a.sceneFromFemur, b.sceneFromFemur) && sameRigid(a.sceneFromTibia, b.sceneFromTibia)

const sameRigid = (a: Rigid, b: Rigid): boolean =>
  a === b ||
  (a.rotation.every((value, k) => value === b.rotation[k]) &&
    a.translation.every((value, k) => value === b.translation[k]))
