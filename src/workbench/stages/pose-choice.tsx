import { poseNames } from '../../stance/terms.ts'
import { Segmented } from '../parts/segmented.tsx'
import { poseLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The stance that ledger, strip and view show. */
export function PoseChoice() {
  const { store } = useWorkbench()
  const pose = useWorkbenchState((state) => state.history.present.stance.pose)
  return (
    <Segmented
      label="Stance"
      hideLabel
      columns={2}
      options={poseNames.map((name) => ({ value: name, label: poseLabels[name] }))}
      value={pose}
      onChange={(next) =>
        store.getState().edit(`stance ${poseLabels[next].toLowerCase()}`, (document) => ({
          ...document,
          stance: { ...document.stance, pose: next },
        }))
      }
    />
  )
}
