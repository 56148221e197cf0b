import { poseNames } from '../../stance/terms.ts'
import { Figure } from '../parts/figure.tsx'
import { poseLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** Tray and native joint line to the floor in every pose; a row chooses the pose that is shown. */
export function PoseTable() {
  const { store } = useWorkbench()
  const shown = useWorkbenchState((state) => state.history.present.stance.pose)
  const stances = useWorkbenchState((state) => state.findings?.stance)
  return (
    <table className="pose-table" aria-label="Tilt to the floor by stance">
      <thead>
        <tr>
          <th scope="col">stance</th>
          <th scope="col" title="Tray to the floor, side to side, medial side down positive">
            tray
          </th>
          <th scope="col" title="Tray to the floor, front to back, posterior side down positive">
            front–back
          </th>
          <th scope="col" title="Native joint line to the floor, side to side, medial side down positive">
            before
          </th>
        </tr>
      </thead>
      <tbody>
        {poseNames.map((pose) => {
          const at = stances?.findIndex((stance) => stance.pose === pose) ?? -1
          const stance = at < 0 ? undefined : stances?.[at]
          return (
            <tr key={pose} data-shown={pose === shown ? 'yes' : undefined}>
              <th scope="row">
                <button
                  type="button"
                  className="pose-button"
                  aria-pressed={pose === shown}
                  onClick={() =>
                    store.getState().edit(`stance ${poseLabels[pose].toLowerCase()}`, (document) => ({
                      ...document,
                      stance: { ...document.stance, pose },
                    }))
                  }
                >
                  {poseLabels[pose]}
                </button>
              </th>
              <td>
                <Figure
                  value={stance?.trayToFloorCoronalDeg}
                  quantity="deg"
                  path={`stance.${at}.trayToFloorCoronalDeg`}
                />
              </td>
              <td>
                <Figure
                  value={stance?.trayToFloorSagittalDeg}
                  quantity="deg"
                  path={`stance.${at}.trayToFloorSagittalDeg`}
                />
              </td>
              <td>
                <Figure
                  value={stance?.jointLineToFloorBeforeDeg}
                  quantity="deg"
                  path={`stance.${at}.jointLineToFloorBeforeDeg`}
                />
              </td>
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}
