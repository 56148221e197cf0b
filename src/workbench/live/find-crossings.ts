import type { BoneName } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { crossingsProblem } from '../store/problems-slice.ts'
import type { Workbench } from '../workbench.ts'

/** Looks for places where a surface runs through itself and keeps what was found with it. */
export async function findCrossings({ store, drawer }: Workbench, bone: BoneName, opened: OpenedMesh): Promise<void> {
  const found = await drawer.run('find-crossings', { mesh: opened.mesh })
  if (!found.ok) {
    if (found.failure.code !== 'job/cancelled') store.getState().notify(found.failure)
    return
  }
  store.getState().keepCrossings(opened.key, found.value)
  if (found.value.pairs > 0) store.getState().pointAt({ bone, id: crossingsProblem, place: 0 })
}
